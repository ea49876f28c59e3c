// Fields made from the model's own words: label, unit, range, choices; what is wrong is told at the field.
import { make } from "../core/dom.js";
import { markField } from "../core/save.js";
import { same, tableOf, thingAt } from "./room.js";
import { FIELDS } from "./words.js";

const UNITS = { deg: "°", px: "pixels", "": "" };
/** Fields that name another thing of the studio: the list it is chosen from, and the words for none. */
const NAMES = { "diffusers.window": ["windows", "not hung"], "readings.spot": ["spots", ""] };
const FIRST =
  /^(name|from_|width_|depth_|height_|table_width|table_depth|sill_|bearing_|distance_|top_|kind|colour|material|reflectance|window$|covers|focal_|widest_|sensor_|pixels_|lowest|highest|at$|spot$|illuminance|sky$|latitude|longitude|timezone)/;

const keyOf = (path) => JSON.stringify(path);
const titleOf = (words) => words.label[0].toUpperCase() + words.label.slice(1);

/** A value as it is typed. */
export function shown(value) {
  if (value === null || value === undefined) return "";
  if (Array.isArray(value)) return value.join(", ");
  return String(value);
}

/**
 * What was typed as a value: what is no number goes to the reader as it stands, which tells what it may be.
 */
function read(words, text) {
  const plain = text.trim();
  if (plain === "") return words.kind === "text" && words.required ? "" : null;
  if (words.kind === "text") return words.words.length || words.form ? plain : text.trim();
  const number = (part) => (/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(part) ? Number(part) : null);
  if (words.kind === "shares" && /[,;\s]/.test(plain)) {
    const parts = plain.split(/[,;]\s*|\s+/).map(number);
    if (parts.length === 3 && parts.every((part) => part !== null)) return parts;
  }
  return number(plain) ?? number(plain.replace(",", ".")) ?? plain;
}

/** How many things stand in the lists along a path: other ones, and its numbers may mean other things. */
const shapeOf = (studio, path) => path.map((_, n) => thingAt(studio, path.slice(0, n)))
  .filter(Array.isArray).map((list) => list.length).join();

/**
 * All fields that are on the page. save(path, value) resolves to true when it was saved; noted() is called
 * when a text
 * was refused, or is put right. A refused text stays until then, also while other fields are saved or other
 * things shown.
 */
export class Fields {
  constructor(tables, save, noted = () => {}) {
    this.tables = tables;
    this.save = save;
    this.noted = noted;
    this.studio = null;
    this.fields = new Map();
    this.sent = new Map();
    this.refused = new Map();
    this.undoing = false;
  }

  /** What is typed and was not saved, in words: "Width of the room". */
  get open() {
    return [...this.refused.values()].map(({ label, path }) =>
      FIELDS.of(label, thingAt(this.studio, path.slice(0, -1))?.name
      || { room: FIELDS.room, place: FIELDS.place }[path[0]]));
  }

  /**
   * The fields of the thing at a path: those asked for first, the others under "More".
   * @param {(string | number)[]} path
   * @param {{only?: string[] | null, more?: boolean}} which
   */
  of(path, { only = null, more = true } = {}) {
    const words = this.tables[tableOf(path)].filter((f) => !only || only.includes(f.name));
    const first = words.filter((f) => only || f.required || FIRST.test(f.name)),
      rest = words.filter((f) => !first.includes(f));
    const parts = [make("div", { class: "fields" }, first.map((f) => this.#field(path, f)))];
    if (more && rest.length) parts.push(make("details", { class: "more", "data-more": keyOf(path) },
      make("summary", {}, "More"), make("div", { class: "fields" }, rest.map((f) => this.#field(path, f)))));
    return parts;
  }

  #field(path, words) {
    const here = [...path, words.name], key = keyOf(here), id = `f-${here.join("-")}`, table = tableOf(path);
    const unit = UNITS[words.unit] ?? words.unit, names = NAMES[`${table}.${words.name}`];
    let input;
    if (words.words.length || names) {
      input = make("select", { id });
    } else {
      const numeric = ["number", "integer"].includes(words.kind);
      input = make("input", { id, autocomplete: "off",
        inputmode: numeric ? "decimal" : undefined, maxlength: words.kind === "text" ? 400 : 60 });
    }
    const title = titleOf(words);
    const hint = words.doc + (words.required || words.default === null || words.default === ""
      ? "" : FIELDS.usually(`${shown(words.default)}${unit && unit !== "°" ? ` ${unit}` : unit}`));
    input.setAttribute("aria-describedby", `${id}-hint`);
    const extra = words.form === "colour"
      ? make("input", { type: "color", class: "swatch",
      "aria-label": FIELDS.byEye(title), onchange: (event) => {
      input.value = event.target.value;
      this.#commit(key);
    } }) : null;
    const field = make("div", { class: `field${words.kind === "text" ? " words" : ""}`, "data-path": key },
      make("label", { for: id }, title),
        make("div", { class: "with-unit" }, input, extra,
        unit ? make("span", { class: "unit" }, unit) : null),
      make("p", { class: "hint small soft", id: `${id}-hint` }, hint));
    const entry = { field, input, extra, words, path: here, names, drawn: "" };
    this.fields.set(key, entry);
    input.addEventListener("change", () => this.#commit(key));
    // the same text once more: what stood in its way may be gone
    input.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && this.refused.get(key)?.text === input.value) this.#commit(key);
    });
    if (words.kind === "number" || words.kind === "integer") input.addEventListener("keydown",
      (event) => this.#step(event, entry));
    this.#fill(entry, true);
    return field;
  }

  /** Up and down in a number: a centimetre, a degree, or a hundredth of what stands there. */
  #step(event, entry) {
    if (event.key !== "ArrowUp" && event.key !== "ArrowDown") return;
    const { words, input } = entry, now = read(words, input.value) ?? words.default;
    if (typeof now !== "number") return;
    event.preventDefault();
    const by = (words.unit === "m" ? 0.01 : words.kind === "integer" || words.unit === "deg"
      || words.unit === "mm" ? 1 : words.high === 1
      || words.high === 0.98 ? 0.01 : 0.1) * (event.shiftKey ? 10 : 1);
    const to = Math.min(Math.max(now + (event.key === "ArrowUp" ? by : -by), words.low ?? -Infinity),
      words.high ?? Infinity);
    input.value = String(Number(to.toFixed(4)));
    clearTimeout(entry.timer);
    entry.timer = setTimeout(() => this.#commit(keyOf(entry.path)), 500);
  }

  async #commit(key) {
    const entry = this.fields.get(key);
    if (!entry) return;
    clearTimeout(entry.timer);
    const { input, words, path } = entry;
    if (entry.elsewhere) { this.#tellElsewhere(entry); return; }
    if (input.value === entry.drawn) {
      this.#clear(entry);
      if (this.refused.delete(key)) this.noted();
      return;
    }
    const value = read(words, input.value);
    entry.asked = input.value;
    if (value === null && words.required) {
      this.tell(entry, FIELDS.missing(titleOf(words), words.doc));
      return;
    }
    entry.sending = true;
    this.refused.delete(key);
    this.sent.set(key, entry);
    if (await this.save(path, value)) { this.#clear(entry); if (entry.field.isConnected) this.#fill(entry); }
    entry.sending = false;
    this.sent.delete(key);
  }

  #clear(entry) {
    markField(entry.field, "");
    entry.input.removeAttribute("aria-invalid");
    entry.input.setAttribute("aria-describedby", `${entry.input.id}-hint`);
  }

  #fill(entry, always = false) {
    const { input, words, path, names } = entry, value = thingAt(this.studio, path);
    if (input.tagName === "SELECT") {
      const choices = names ? this.studio[names[0]].map((each) => each.name) : [...words.words];
      const list = names && names[1] ? ["", ...choices] : choices;
      if (list.join("\n") !== entry.list) {
        entry.list = list.join("\n");
        input.replaceChildren(
          ...list.map((each) => make("option", { value: each }, each === "" ? names[1] : each)));
      }
    }
    const now = shown(value), refusal = this.refused.get(keyOf(path));
    if (always && refusal) { input.value = refusal.text; entry.asked = null; }
    // what was sent is not arrived while the old value still stands there: another field was saved meanwhile
    const coming = entry.sending && now === entry.drawn && input.value === entry.asked;
    const dirty = Boolean(coming
      || ((document.activeElement === input || entry.elsewhere || refusal)
      && input.value !== entry.drawn && input.value !== entry.asked));
    // what is typed was meant against the value that stood here: another's newer one is never written over
    // unasked
    const clash = !always && dirty && now !== input.value && (entry.elsewhere || now !== entry.drawn);
    if (!refusal && (always || !dirty)) input.value = now;
    entry.elsewhere = clash;
    entry.same = clash && Boolean(entry.same) && now === entry.drawn;
    if (input.placeholder !== undefined && words.default === null && words.optional) input.placeholder =
      words.name === "from_left_m" ? FIELDS.middle : "";
    entry.drawn = now;
    if (entry.extra && /^#[0-9a-f]{6}$/i.test(now)) entry.extra.value = now;
    if (clash) this.#tellElsewhere(entry);
    else if (refusal && !entry.field.querySelector(".said")) this.#mark(entry, refusal.words, refusal.paste);
  }

  /**
   * Changed elsewhere while it was being typed: both values are shown, and nothing is saved until you choose.
   */
  #tellElsewhere(entry) {
    clearTimeout(entry.timer);
    const answer = (mine) => {
      entry.elsewhere = false;
      if (!mine) entry.input.value = entry.drawn;
      this.#commit(keyOf(entry.path));
      entry.input.focus();
    };
    markField(entry.field, entry.same ? FIELDS.changedMeanwhile : FIELDS.changed(entry.drawn));
    entry.field.querySelector(".said")
      .append(" ", make("button", { type: "button", class: "quiet use", onclick: () => answer(true) },
      FIELDS.mine), " ",
      make("button", { type: "button", class: "quiet use", onclick: () => answer(false) },
        FIELDS.use(entry.drawn)));
  }

  /** What was sent was not saved: it is what is typed again, and stays beside the newer value. */
  takeBack() {
    for (const entry of this.fields.values()) {
      if (!entry.sending) continue;
      Object.assign(entry, { asked: null, elsewhere: true, same: true });
    }
  }

  /** The studio as it now is, in every field; what is being typed stays. */
  show(studio) {
    this.studio = studio;
    const before = this.refused.size;
    for (const [key, refusal] of this.refused) {
      const gone = thingAt(studio, refusal.path.slice(0, -1)) === undefined
        || shapeOf(studio, refusal.path) !== refusal.shape;
      if (gone || (this.undoing && shown(thingAt(studio, refusal.path)) !== refusal.drawn))
        this.refused.delete(key);
    }
    if (this.refused.size !== before) this.noted();
    for (const [key, entry] of this.fields) {
      if (!entry.field.isConnected) { this.fields.delete(key); continue; }
      if (thingAt(studio, entry.path.slice(0, -1)) === undefined) continue;
      if (!this.refused.has(key)) this.#clear(entry);
      this.#fill(entry);
    }
  }

  /**
   * Mistakes: of a text that was typed at its own field, else each at its field; gives back those said
   * nowhere on the page.
   * @param {any[]} list
   * @param {(string | number)[] | null} tried
   */
  mistakes(list, tried = null) {
    const at = tried && (this.fields.get(keyOf(tried)) ?? this.sent.get(keyOf(tried)));
    if (at && list.length) {
      const thing = tried.slice(0, -1), own = list.find((m) => same(m.path, tried));
      this.tell(at, list.map((m) => (same(m.path.slice(0, -1), thing) ? m.said : `${m.where}: ${m.said}`))
        .join(" "), fixOf(own));
      return at.field.isConnected ? [] : list;
    }
    return list.filter((mistake) => {
      const entry = [...this.fields.values()].find((each) => each.field.isConnected
        && same(each.path, mistake.path));
      if (entry) this.#mark(entry, mistake.said, fixOf(mistake));
      return !entry;
    });
  }

  /** What was typed into a field cannot be: it stays there, with the reason, until it is put right. */
  tell(entry, words, paste = "") {
    const { path } = entry;
    this.refused.set(keyOf(path),
      { path, text: entry.asked ?? entry.input.value,
      words, paste, label: entry.words.label, drawn: entry.drawn, shape: shapeOf(this.studio, path) });
    entry.asked = null;
    this.#mark(entry, words, paste);
    this.noted();
  }

  #mark(entry, words, paste = "") {
    for (let up = entry.field.closest("details");
      up; up = up.parentElement.closest("details")) up.open = true;
    markField(entry.field, words);
    const value = paste && pasted(paste, entry.words.name), place = entry.field.querySelector(".said");
    const offer = (reply, text) => place.append(" ",
      make("button", { type: "button", class: "quiet use", onclick: async () => {
      entry.input.value = text();
      await this.#commit(keyOf(entry.path));
    } }, reply));
    if (value !== undefined && value !== "") offer(FIELDS.write(shown(value)), () => shown(value));
    if (this.refused.has(keyOf(entry.path)) && (entry.drawn || entry.words.optional)) offer(
      FIELDS.leave(entry.drawn), () => entry.drawn);
  }
}

/** The line that fixes a mistake; an example to look at is none. */
export const fixOf = (mistake) => (mistake && !mistake.example ? mistake.fix : "");

/** The value of `key = value` in a line to paste, when it is plain. */
function pasted(paste, name) {
  const match = paste.match(/^(\w+) = (.+)$/);
  if (!match || match[1] !== name) return undefined;
  try { return JSON.parse(match[2]); } catch { return undefined; }
}

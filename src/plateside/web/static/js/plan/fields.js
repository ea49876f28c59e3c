// Inputs made from the schema of a settings file: words, units, ranges and allowed words are the model's own.
import { make, settled } from "../core/dom.js";
import { minutesOf as dayMinutes } from "../core/clock.js";
import { markField } from "../core/save.js";
import { durationOf, hoursWords, minutesIn, minutesOf } from "./durations.js";
import { FIELD } from "./words.js";

/** Lists of single words: a comma parts them as a new line does. */
const LISTED = new Set(["allergens", "keywords"]);
const LONG = new Set(["description", "text", "caption", "alt_text", "usage_terms"]);
let count = 0;

/** The value at a path: at(shoot, ["shots", 0, "name"]). */
export const at = (value, path) =>
  path.reduce((thing, part) => (thing === undefined || thing === null ? undefined : thing[part]), value);

const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);
const plainNumber = (value) => String(value).replace(/^(-?\d+\.\d*?)0+$/, "$1").replace(/\.$/, "");

/**
 * All inputs of one page.
 *   schema   tables of fields by class name
 *   names    the studio's names: {spots: [...], ...}
 *   save     (changes, mistaken) => promise of whether it was saved
 *   value    () => the file's value as it now is
 *   refused  (path, value) => words when a change must not even be tried
 *   along    (path, value) => further changes that belong to this one
 */
export class Fields {
  constructor({ schema, names, save, value, refused = () => "", along = () => [] }) {
    this.schema = schema;
    this.names = names;
    this.save = save;
    this.value = value;
    this.refused = refused;
    this.along = along;
    this.all = new Set();
  }

  entry(table, name) {
    const found = this.schema[table].find((field) => field.name === name);
    if (!found) throw new Error(`${table} has no field ${name}`);
    return found;
  }

  /** The element of one field; `options`: {label, hint, unit}. */
  make(table, name, path, options = {}) {
    const field = new Field(this, this.entry(table, name), [...path, name], options);
    this.all.add(field);
    return field.element;
  }

  /** Forget the fields inside an element that is about to go. */
  forget(element) {
    for (const field of this.all) if (element.contains(field.element)) this.all.delete(field);
  }

  /** Show what the file now says; `mark` lets fields that changed be seen. */
  show(mark = false) {
    const value = this.value();
    for (const field of this.all) field.show(at(value, field.path), mark);
  }

  /** The names a field may take. */
  namesFor(entry) {
    const [which, array] = entry.names.split(".");
    return which === "studio" ? this.names[array]
      || [] : (this.value()[array] || []).map((item) => item.name);
  }
}

class Field {
  constructor(fields, entry, path, options) {
    this.fields = fields;
    this.entry = entry;
    this.path = path;
    this.refusedText = null;
    this.sending = null;
    this.clash = false;
    this.id = `field-${(count += 1)}`;
    this.label = options.label || entry.label;
    this.control = controlFor(fields, entry, this.id, options);
    const hintText = options.hint ?? hintOf(entry);
    this.hint = hintText ? make("p", { class: "hint", id: `${this.id}-hint` }, hintText) : null;
    const unit = options.unit ?? (entry.form === "duration" ? FIELD.minutes : unitOf(entry));
    const label = [this.label, unit && make("span", { class: "unit" }, ` ${unit}`)];
    const described = this.hint ? this.hint.id : null;
    if (this.control.group) {
      this.element = make("fieldset", { class: "field group", "aria-describedby": described },
        make("legend", {}, ...label), this.control.element, this.hint);
    } else if (entry.kind === "flag") {
      this.control.element.setAttribute("aria-describedby", described || "");
      this.element = make("div", { class: "field flag" },
        make("label", { for: this.id }, this.control.element, " ", ...label), this.hint);
    } else {
      if (described) this.control.element.setAttribute("aria-describedby", described);
      this.element = make("div", { class: "field" },
        make("label", { for: this.id }, ...label), this.control.element, this.hint);
    }
    this.element.dataset.path = path.join(".");
    this.#listen();
    this.shown = at(fields.value(), path);
    this.control.show(this.shown);
  }

  get dirty() {
    return this.sending === null && this.control.text() !== this.control.textOf(this.shown);
  }

  /** Whether letters stand here that are neither saved nor on their way. */
  get writing() {
    const { control } = this, text = control.text();
    return /^text/.test(control.element.type ?? "") && text !== control.textOf(this.shown) && text !== this.sending;
  }

  #listen() {
    const element = this.control.element;
    const commit = () => this.commit();
    // a newer value from elsewhere stands beside yours: only Enter saves yours over it, not merely leaving
    // the field
    const typed = /^(text|textarea)$/.test(element.type ?? "");
    const unasked = () => { if (!(this.clash && typed)) commit(); };
    const soon = settled(900, unasked);
    element.addEventListener("change", this.entry.form === "date" ? soon : unasked);
    element.addEventListener("focusout", unasked);
    if (this.control.long) element.addEventListener("input", soon);
    element.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && (!this.control.long || this.clash)) {
        if (this.clash && this.control.long) event.preventDefault();
        commit();
      }
      if (event.key === "Escape" && this.dirty) {
        event.stopPropagation();
        this.control.show(this.shown);
        this.clash = false;
        this.mark("");
      }
    });
  }

  /** Save what stands in the input, once. */
  async commit() {
    const text = this.control.text();
    if (!this.dirty) {
      if (this.sending === null) this.mark("");
      return;
    }
    if (text === this.refusedText) return;
    let value;
    try {
      value = this.control.read();
    } catch (error) {
      this.refusedText = text;
      this.mark(error.message);
      return;
    }
    if (same(value, this.shown)) { this.control.show(this.shown); this.mark(""); return; }
    const refused = this.fields.refused(this.path, value);
    if (refused) { this.refusedText = text; this.mark(refused); return; }
    this.sending = text;
    this.clash = false;
    let mistaken = false;
    const changes = [{ put: this.path, value }, ...this.fields.along(this.path, value)];
    const saved = await this.fields.save(changes, (error) => {
      mistaken = true;
      this.refusedText = text;
      this.mark(this.words(error));
    });
    this.sending = null;
    if (saved) {
      this.refusedText = null;
      this.mark("");
      const now = at(this.fields.value(), this.path);
      if (this.control.text() === text) { this.shown = now; this.control.show(now); }
    } else if (!mistaken && !same(at(this.fields.value(), this.path), this.shown)) {
      this.#clashes(at(this.fields.value(), this.path));
    } else if (!mistaken) {
      this.mark(FIELD.notSaved);
    }
  }

  /** What is wrong, with this page's own name for the field. */
  words(error) {
    const own = (m) => m.path?.at(-1) === this.entry.name || m.code === "name taken" || m.code === "no name";
    const reply = (error.mistakes || [])
      .map((m) => (own(m) || !m.where ? m.said.replace(this.entry.label, this.label)
      : `${m.where}: ${m.said}`));
    return reply.join(" ") || error.message;
  }

  /** Another value came meanwhile: yours stays in view, and the newer one is said beside it. */
  #clashes(now) {
    this.shown = now;
    this.refusedText = null;
    this.clash = this.control.text() !== this.control.textOf(now);
    this.mark(this.clash ? FIELD.clash(this.control.textOf(now)) : "");
  }

  mark(words) {
    markField(this.element, words);
    if (!words) {
      for (const input of this.element.querySelectorAll("input, select, textarea")) input.removeAttribute(
        "aria-invalid");
      if (this.hint && !this.control.group) this.control.element.setAttribute("aria-describedby",
        this.hint.id);
    }
  }

  show(now, mark) {
    const changed = !same(now, this.shown);
    if (this.dirty) {
      // what you are writing is not taken from you; what came meanwhile is said
      if (changed) this.#clashes(now);
      return;
    }
    if (this.sending !== null) return;
    this.shown = now;
    this.control.show(now);
    if (changed) {
      this.refusedText = null;
      this.mark("");
      if (mark) {
        this.element.classList.add("came");
        setTimeout(() => this.element.classList.remove("came"), 4000);
      }
    }
  }
}

const unitOf = (entry) => (entry.unit === "deg" ? "°" : entry.unit);

function hintOf(entry) {
  const bounded = entry.low !== null && entry.high !== null;
  const range = bounded ? FIELD.range(plainNumber(entry.low), plainNumber(entry.high), unitOf(entry)) : "";
  const doc = entry.doc.replace(/, ISO 8601/g, "").replace(/^./, (letter) => letter.toUpperCase());
  return FIELD.withRange(doc, range);
}

const emptyWords = (entry) => (entry.empty || FIELD.none).replace(/^./, (letter) => letter.toUpperCase());

function controlFor(fields, entry, id, options) {
  if (entry.kind === "flag") return flag(id);
  if (entry.kind === "texts" && (entry.words.length || entry.names)) return several(fields, entry, id);
  if (entry.kind === "texts") return lines(id, LISTED.has(entry.name) ? /[\n,;]/ : "\n");
  if (entry.words.length) return choice(id, () => entry.words.map((word) => [word, word]));
  if (entry.names) {
    return choice(id, (now) => {
      const known = fields.namesFor(entry);
      const out = entry.required ? [] : [["", emptyWords(entry)]];
      return [...out, ...known.map((name) => [name, name]),
        ...(now && !known.includes(now) ? [[now, FIELD.gone(now)]] : [])];
    });
  }
  if (entry.form === "duration") return duration(entry, id, options.placeholder);
  if (entry.form === "date") return plain(entry, make("input", { id, type: "date" }));
  // a time is written as everywhere here, on the 24-hour clock, whatever the browser's own clock is
  if (entry.form === "time") return hour(
    plain(entry,
    make("input", { id, type: "text", autocomplete: "off", placeholder: "12:30", maxlength: 10 })));
  if (entry.kind === "number" || entry.kind === "integer") return number(entry, id);
  if (LONG.has(entry.name) && !options.short) return plain(entry,
    make("textarea", { id, rows: 2, class: "short" }), true);
  return plain(entry, make("input", { id, type: "text", autocomplete: "off" }));
}

function plain(entry, element, long = false) {
  const textOf = (value) => value ?? "";
  return { element, long, textOf, text: () => element.value,
    read: () => element.value.trim(), show: (value) => {
    element.value = textOf(value);
  } };
}

/**
 * "9", "9.30" and "2:30 pm" are read as the clock tells them; what is no hour goes as it is, and is refused
 * in words.
 */
function hour(field) {
  const read = () => {
    const text = field.element.value.trim(), minutes = text ? dayMinutes(text) : null;
    return minutes === null ? text
      : `${String(Math.floor(minutes / 60)).padStart(2, "0")}:${String(minutes % 60).padStart(2, "0")}`;
  };
  return { ...field, read };
}

/** A thing a line; `parts`: what parts two of them in a line. */
function lines(id, parts) {
  const element = make("textarea", { id, rows: 6 });
  const textOf = (value) => (value || []).join("\n");
  const show = (value) => {
    element.value = textOf(value);
    element.rows = Math.max(3, (value || []).length + 1);
  };
  return { element, long: true, textOf, text: () => element.value,
    show, read: () => element.value.split(parts).map((line) => line.trim()).filter(Boolean) };
}

function number(entry, id) {
  const element = make("input", { id, type: "text", inputmode: "decimal", autocomplete: "off" });
  if (entry.default !== null && entry.default !== undefined) element.placeholder = plainNumber(entry.default);
  const textOf = (value) => (value === null || value === undefined ? "" : plainNumber(value));
  return {
    element, textOf, text: () => element.value.trim(), show: (value) => { element.value = textOf(value); },
    // what is no number goes as it stands: the file's own check knows what may have been meant
    read: () => {
      const text = element.value.trim().replace(/^(-?\d+),(\d+)$/, "$1.$2");
      if (!text) return null;
      return /^-?\d+(\.\d+)?$|^-?\.\d+$/.test(text) ? Number(text) : text;
    },
  };
}

function duration(entry, id, placeholder) {
  const element = make("input", { id, type: "text", inputmode: "decimal", autocomplete: "off", placeholder });
  const textOf = (value) => {
    const minutes = minutesOf(value);
    return minutes === null ? value || "" : plainNumber(Math.round(minutes * 100) / 100);
  };
  const tell = () => { element.title = hoursWords(minutesIn(element.value)); };
  element.addEventListener("input", tell);
  return {
    element, textOf, text: () => element.value.trim(), show: (value) => {
      element.value = textOf(value);
      tell();
    },
    read: () => {
      const text = element.value.trim();
      if (!text && !entry.required && entry.default === "") return "";
      const minutes = minutesIn(text);
      if (Number.isNaN(minutes)) throw new Error(FIELD.noTime(text));
      return durationOf(minutes);
    },
  };
}

function flag(id) {
  const element = make("input", { id, type: "checkbox" });
  return { element, textOf: (value) => String(Boolean(value)),
    text: () => String(element.checked), read: () => element.checked, show: (value) => {
    element.checked = Boolean(value);
  } };
}

function choice(id, options) {
  const element = make("select", { id });
  let written = "";
  const show = (value) => {
    const wanted = options(value);
    const key = JSON.stringify(wanted);
    if (key !== written) {
      element.replaceChildren(...wanted.map(([word, words]) => make("option", { value: word }, words)));
      written = key;
    }
    element.value = value ?? "";
  };
  return { element, textOf: (value) => value ?? "",
    text: () => element.value, read: () => element.value, show };
}

function several(fields, entry, id) {
  const element = make("div", { class: "several" });
  let now = [];
  let written = "";
  const ticked = () => {
    const on = new Set([...element.querySelectorAll("input:checked")].map((input) => input.value));
    // the order there was stays; what is new comes last
    return [...now.filter((name) => on.has(name)), ...[...on].filter((name) => !now.includes(name))];
  };
  const show = (value) => {
    now = value || [];
    const known = entry.words.length ? entry.words : fields.namesFor(entry);
    const all = [...known, ...now.filter((name) => !known.includes(name))];
    if (JSON.stringify(all) !== written) {
      written = JSON.stringify(all);
      element.replaceChildren(
        ...all.map((name, n) => make("label", { for: `${id}-${n}` },
        make("input", { type: "checkbox", id: `${id}-${n}`, value: name }), " ", name)));
      if (!all.length) element.replaceChildren(make("span", { class: "soft small" }, FIELD.noneInStudio));
    }
    for (const input of element.querySelectorAll("input")) input.checked = now.includes(input.value);
  };
  return { element, group: true, textOf: (value) => JSON.stringify(value || []),
    text: () => JSON.stringify(ticked()), read: ticked, show };
}

// Title, caption and alt text of one picture: saved as they are written, counted and checked by the server
// while you type.
/** @import { ShotDelivered, WordsShown } from "../core/facts" */
import { tell } from "../core/ask.js";
import { make, settled } from "../core/dom.js";
import { press } from "../core/press.js";
import { Said } from "./said.js";
import { WORDS } from "./words.js";

const FIELDS = { title: "input", caption: "textarea", alt_text: "textarea" };

export class WordsEditor {
  /** @param {ShotDelivered} shot */
  constructor(shot, limits, changed) {
    this.shot = shot;
    this.limits = limits;
    this.changed = changed;
    this.fields = new Map();
    this.saved = {};
    this.remarks = make("ul", { class: "plain remarks", id: `remarks-${shot.name}`, "aria-live": "polite" });
    this.said = new Said();
    this.check = settled(250, () => this.#check());
    this.element = make("div", { class: "words" },
      Object.keys(FIELDS).map((field) => this.#field(field)), this.said.element, this.remarks);
    this.take(shot.words);
  }

  #field(field) {
    const tag = FIELDS[field], id = `${field}-${this.shot.name}`;
    const remarks = field === "alt_text" ? ` remarks-${this.shot.name}` : "";
    const input = make(tag, {
      id, rows: tag === "textarea" ? 3 : null, maxlength: 2000, spellcheck: "true",
      "aria-describedby": `${id}-count${remarks}`,
    });
    const counter = make("span", { class: "counter number", id: `${id}-count` });
    const place = make("div", { class: "field" },
      make("div", { class: "label-row" }, make("label", { for: id }, WORDS.fields[field]), counter), input,
      make("p", { class: "small soft hint" }, this.limits.hints[field]));
    const rested = settled(1200, () => this.#save(field));
    input.addEventListener("input", () => { this.#count(field); this.check(); rested(); });
    input.addEventListener("change", () => this.#save(field));
    this.fields.set(field, { input, counter, place });
    return place;
  }

  /**
   * @param {WordsShown} words what is saved now: from the server, or from another page. What is being written
   * is not touched.
   */
  take(words) {
    for (const [field, { input }] of this.fields) {
      const mine = input.value !== (this.saved[field] ?? "");
      if (!mine || this.saved[field] === undefined) input.value = words[field];
      this.saved[field] = words[field];
      input.placeholder = field === "alt_text" ? WORDS.meanwhile(words.stand_in) : words.used[field];
      this.#count(field);
    }
    this.#tell(words.remarks);
  }

  #count(field) {
    const { input, counter } = this.fields.get(field), letters = [...input.value.trim()].length;
    const { aim, most } = this.limits;
    counter.textContent = field === "alt_text" ? WORDS.ofCharacters(letters, aim) : WORDS.characters(letters);
    counter.classList.toggle("over", field === "alt_text" && letters > aim);
    counter.classList.toggle("far-over", field === "alt_text" && letters > most);
  }

  /** @param {WordsShown["remarks"]} remarks */
  #tell(remarks) {
    this.remarks.replaceChildren(...remarks.map((r) => make("li", { "data-code": r.code }, r.words)));
    this.fields.get("alt_text").place.classList.toggle("wrong", remarks.length > 0);
  }

  values() { return Object.fromEntries([...this.fields].map(([field, { input }]) => [field, input.value])); }

  async #check() {
    const asked = this.values(), number = (this.asked = (this.asked || 0) + 1);
    try {
      const words = await tell("/deliver/words", { shot: this.shot.name, ...asked });
      if (number === this.asked) this.#tell(words.remarks);
    } catch (error) { if (error.status) this.said.say(error.message); }
  }

  async #save(field, again = false) {
    const { input, place } = this.fields.get(field), text = input.value;
    if (text === this.saved[field] && !again) return;
    const before = this.saved[field];
    this.saved[field] = text;
    try {
      const reply = await press("words", { shot: this.shot.name, field, text });
      place.querySelector(".mind")?.remove();
      this.said.say(WORDS.saved(reply.said));
      this.changed();
    } catch (error) {
      this.saved[field] = before;
      const row = error.reply?.row;
      if (row) this.#theirs(field, row.data.text); else this.said.say(error.message);
    }
  }

  /** The same words were written elsewhere: both are shown, to choose one. */
  #theirs(field, theirs) {
    const { input, place } = this.fields.get(field);
    place.querySelector(".mind")?.remove();
    const done = () => { place.querySelector(".mind")?.remove(); input.focus(); };
    const use = () => {
      this.saved[field] = theirs;
      input.value = theirs;
      this.#count(field);
      this.check();
      done();
    };
    const keep = () => { done(); this.#save(field, true); };
    place.append(make("div", { class: "mind" }, make("p", {}, WORDS.theirs(theirs)),
      make("div", { class: "row" },
        make("button", { type: "button", onclick: use }, WORDS.useThat),
        make("button", { type: "button", onclick: keep }, WORDS.keepMine))));
  }
}

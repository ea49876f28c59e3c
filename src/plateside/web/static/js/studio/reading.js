// A light reading before it is one: an empty form, and nothing in the file until the lux that was read is
// typed.
import { make } from "../core/dom.js";
import { greyCard } from "./card.js";
import { Fields, fixOf } from "./form.js";
import { READING } from "./words.js";

/** A number that no reading in the list has: the fields of the form are its. */
const NEW = 9999;
const LUX = "illuminance_lx";

export class NewReading {
  /**
   * page: save(changes, tried, refusing) resolves to true when saved; added() then; opened(), closed();
   * studio() as it now is.
   * item: what the form begins with.
   */
  constructor(tables, page) {
    this.page = page;
    this.item = {};
    this.fields = new Fields(tables, (path, value) => {
      this.item[path.at(-1)] = value ?? undefined;
      this.#show();
      return true;
    });
    this.element = make("form",
      { class: "inside new-reading", novalidate: true,
      "aria-label": READING.title, hidden: true, onsubmit: (event) => {
      event.preventDefault();
      this.#keep();
    } });
  }

  get #drawn() { return { spots: this.page.studio().spots, readings: { [NEW]: this.item } }; }

  #show() { this.fields.show(this.#drawn); }

  /** The studio changed: the table spots to choose from as well. */
  show() { if (!this.element.hidden) this.#show(); }

  /** Open the form, or go to it when it is open. */
  open(item) {
    if (this.element.hidden) {
      // what nobody has read or seen yet is not filled in
      this.item = { ...item, source: "lux", [LUX]: undefined, sky: "" };
      this.fields.studio = this.#drawn;
      this.element.replaceChildren(...this.fields.of(["readings", NEW]), greyCard((card) => this.#take(card)),
        make("div", { class: "row panel-acts" }, make("button", { type: "submit" }, READING.keep),
        make("button", { type: "button", class: "quiet", onclick: () => this.#close() }, READING.leave)));
      this.element.hidden = false;
      this.page.opened();
    }
    this.#input(LUX).focus();
    this.element.scrollIntoView({ block: "center" });
  }

  /** What a grey card says, as if it had been typed. */
  #take({ illuminance_lx, at, evidence }) {
    Object.assign(this.item, { illuminance_lx, evidence, source: "grey card", ...(at ? { at } : {}) });
    this.fields.refused.clear();
    this.#show();
  }

  #close() { this.element.hidden = true; this.element.replaceChildren(); this.page.closed(); }

  #input(name) { return this.#entry(name).input; }

  #entry(name) {
    return [...this.fields.fields.values()].find((each) => each.field.isConnected
      && each.path.at(-1) === name);
  }

  async #keep() {
    const lacking = [[LUX, READING.lux], ["sky", READING.sky]].filter(([name]) => !this.#input(name)
      .value.trim());
    for (const [name, words] of lacking) this.fields.tell(this.#entry(name), words);
    if (lacking.length) { this.#input(lacking[0][0]).focus(); return; }
    const item = Object.fromEntries(Object.entries(this.item).filter(([, value]) => value !== undefined));
    const wasSaved = await this.page.save([{ add: ["readings"], item }], null, (refused) => {
      const homeless = [];
      for (const mistake of refused.mistakes || []) {
        const entry = mistake.path?.[0] === "readings" && this.#entry(mistake.path.at(-1));
        if (entry) this.fields.tell(entry, mistake.said, fixOf(mistake)); else homeless.push(mistake.said);
      }
      return homeless.join(" ") || (refused.mistakes?.length ? "" : refused.message);
    });
    if (wasSaved) { this.#close(); this.page.added(); }
  }
}

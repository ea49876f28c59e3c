// A fit of the studio to its light readings: computed, shown, and kept by a press that can be taken back.
import { work } from "../core/ask.js";
import { make } from "../core/dom.js";
import { FIT } from "./words.js";

const FEWEST = 3;
/**
 * What the light of a reading is worked out from; what was found of another room is not kept for this one.
 */
const OF_THE_ROOM = ["place", "room", "windows", "spots", "boards", "diffusers", "furniture", "readings"];
const sameRoom = (a, b) => OF_THE_ROOM.every((part) => JSON.stringify(a[part]) === JSON.stringify(b[part]));

export class Learning {
  /** page: save(changes) resolves to true when kept; studio(), version() as they now are. */
  constructor(page) {
    this.page = page;
    /** @type {any} */
    this.running = null;
    this.found = null;
    this.asked = null;
    this.state = make("p", { class: "small soft" });
    this.begin = make("button", { type: "button", onclick: () => this.#begin() }, FIT.begin);
    this.forget = make("button", { type: "button", class: "quiet", onclick: () => this.#keep({}) },
      FIT.forget);
    this.stop = make("button", { type: "button", hidden: true, onclick: () => this.running?.stop() },
      FIT.stop);
    this.bar = make("progress", { hidden: true, "aria-label": FIT.bar });
    this.words = make("div", { role: "status" });
    this.acts = make("div", { class: "row", hidden: true },
      make("button", { type: "button", onclick: () => this.#keep(this.found.fit) }, FIT.keep),
        make("button", { type: "button", class: "quiet", onclick: () => this.#clear() }, FIT.leave));
    this.element = make("div", { class: "learning" }, this.state,
      make("div", { class: "row" }, this.begin, this.forget, this.stop), this.bar, this.words, this.acts);
  }

  show() {
    const { fit, readings } = this.page.studio(), count = readings.length, lacking = FEWEST - count;
    const fittedWords = fit.readings ? FIT.kept(fit.date, fit.readings,
      fit.light_factor.toFixed(2), fit.skyline_lift_deg, fit.reflectance_factor.toFixed(2)) : "";
    const now = lacking > 0 ? FIT.more(FEWEST, lacking)
      : !fit.readings ? FIT.none : fit.readings === count ? "" : FIT.again(count);
    this.state.textContent = [fittedWords, now].filter(Boolean).join(" ");
    this.begin.disabled = lacking > 0 || Boolean(this.running);
    this.forget.hidden = !fit.readings;
    if (this.asked && !sameRoom(this.asked, this.page.studio())) {
      this.running?.stop();
      this.#clear();
      this.#say([FIT.changed]);
    }
  }

  async #begin() {
    this.#clear();
    this.asked = this.page.studio();
    this.bar.removeAttribute("value");
    this.bar.hidden = this.stop.hidden = false;
    this.#say([FIT.going]);
    const job = work("/studio/fit", { version: this.page.version() }, (news) => { if (news.total) {
      this.bar.max = news.total;
      this.bar.value = news.done;
    } });
    this.running = job;
    this.show();
    try {
      const found = await job;
      if (this.running !== job) return;
      this.found = found;
      this.#say(found.lines);
      this.acts.hidden = false;
    } catch (error) {
      if (this.running === job) { this.asked = null; this.#say([error.message]); }
    } finally {
      if (this.running === job) this.#over();
      this.show();
    }
  }

  #over() { this.running = null; this.bar.hidden = this.stop.hidden = true; }

  #clear() {
    this.found = this.asked = null;
    this.#over();
    this.#say([]);
    this.acts.hidden = true;
  }

  #say(lines) { this.words.replaceChildren(...lines.map((line) => make("p", { class: "small" }, line))); }

  async #keep(fit) {
    if (!await this.page.save([{ put: ["fit"], value: fit }])) return;
    this.#clear();
    this.begin.focus();
  }
}

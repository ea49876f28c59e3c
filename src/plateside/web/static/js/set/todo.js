// What to do for a shot until its first frame lands: settings and place, to read from two metres.
import { ask } from "../core/ask.js";
import { drawing, make, one } from "../core/dom.js";
import { standing } from "./clock.js";
import { TODO } from "./words.js";

const box = one("#todo"), lines = one("#todo-lines"), picture = one("#todo-picture");
const LEAST_PICTURE_PX = 140;

export class Todo {
  /** @type {any} */
  #day = null;
  #shown = "";
  /** @type {Promise<any> | null} */
  #asked = null;

  /** shown: called when the plan has come, or has changed. */
  constructor(shown) {
    this.shown = shown;
  }

  /** The plan may be another: asked again when it is next wanted. */
  forget() { this.#day = this.#asked = null; this.#shown = this.#shown.split(" ")[0] + " "; }

  /** Show what to do for a shot; an empty name: nothing is to be done. */
  show(shot, white_k = 0) {
    box.hidden = !shot;
    if (!shot) return;
    if (!this.#day) {
      // what stands there may be of the shot before
      if (!this.#shown.startsWith(`${shot} `)) lines.replaceChildren();
      this.#ask();
      return;
    }
    const of = this.#shot(shot);
    const key = `${shot} ${of?.card?.picture_key} ${white_k}`;
    if (key === this.#shown) return;
    this.#shown = key;
    const card = of?.card;
    const said = card ? [...card.on_set, TODO.focus(white_k, card.focus)] : [of?.problem || ""];
    lines.replaceChildren(...said.map((line) => make("p", {}, line)));
    const quality = this.#drawn(of), key_of = card?.picture_key;
    // until it is rendered, distance and height as they are drawn
    picture.replaceChildren(...(quality ? [make("img", { alt: "", src: `/plan/picture/${key_of}/${quality}.jpg` })]
      : card ? [drawing(card.side)] : []));
    this.fit();
  }

  /** The picture stands below the lines where there is room for it. */
  fit() {
    picture.hidden = false;
    picture.hidden = picture.clientHeight < LEAST_PICTURE_PX;
  }

  /** The shot's time in the plan, as /plan/day has it; null when it has none. */
  slot(shot) { return this.#day ? this.#shot(shot)?.slot || null : null; }

  /** Where a shot is in the timetable at a moment [ms] (clock.js); null when nothing is known of it. */
  standing(shot, moment) {
    const of = this.#day && this.#shot(shot);
    return of ? standing(of, moment) : null;
  }

  /** The same in full, for the bright view: planned picture, drawings, settings by name. */
  figures(shot, moment, white_k = 0) {
    const of = this.#day && this.#shot(shot), card = of?.card;
    if (!card) return [];
    const quality = this.#drawn(of);
    const planned = quality ? [make("figure", {}, make("span", { class: "drawn" }, make("img", { alt: "", src: `/plan/picture/${card.picture_key}/${quality}.jpg` })), make("figcaption", {}, box.dataset.planned))] : [];
    const when = standing(of, moment);
    const late = when?.code === "late" ? [make("p", { class: "mind" }, TODO.late(when))] : [];
    const rows = [...late, ...[...card.not_as_asked, ...card.minds].map((words) => make("p", { class: "mind" }, words))];
    const more = [
      [TODO.white[0], TODO.whiteBalance(white_k)], [TODO.light, when ? TODO.holds(when.light) : ""],
      [TODO.plate, of.slot?.plate], ...card.put.map((words, n) => [n ? "" : TODO.put, words]),
    ].filter(([, words]) => words).map(([name, value]) => ({ name, value }));
    const facts = make("dl", {}, [...more, ...card.facts].flatMap((row) => [make("dt", {}, row.name), make("dd", {}, row.value)]));
    const full = make("figure", { class: "todo-card" },
      make("div", {}, make("p", { class: "settings" }, `${card.lens} · ${card.aperture} · ${card.shutter} · ${card.iso}`), rows, facts),
      make("div", { class: "todo-drawings" }, drawing(card.side), drawing(card.top)));
    return [...planned, full];
  }

  #shot(name) { return this.#day.day.shots.find((each) => each.name === name); }

  #drawn(of) {
    const drawn = (of?.card && this.#day.drawn[of.card.picture_key]) || {};
    return "clean" in drawn ? "clean" : "rough" in drawn ? "rough" : "";
  }

  async #ask() {
    if (this.#asked) return;
    const asked = this.#asked = ask("/plan/day");
    try {
      const day = await asked;
      if (this.#asked !== asked) return;
      this.#day = day;
      this.shown();
    } catch { /* the plan has mistakes: Plan says which */ }
  }
}

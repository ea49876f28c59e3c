// The day: one light curve, a strip for every shot and the kitchen below it, drawn by the server on one axis
// of hours.
/** @import { LightShown, PlannedDay, ShotShown } from "../core/facts" */
import { drawing, make } from "../core/dom.js";
import { DAY } from "./words.js";

/** Draws the day into an element; keeps the shot and the hour that are looked at. */
export class DayChart {
  constructor(place) {
    this.place = place;
    this.shot = "";
    this.minute = null;
    /** None before the first answer. @type {PlannedDay} */
    this.day = /** @type {any} */ (null);
  }

  /** @param {PlannedDay} day */
  show(day) {
    this.day = day;
    this.place.classList.toggle("unlit", Boolean(day.unlit));
    const shots = day.shots.filter((shot) => shot.light);
    if (!day.shots.length) { this.place.replaceChildren(make("p", { class: "soft" }, DAY.noShots)); return; }
    if (!shots.length) {
      this.place.replaceChildren(this.#hours(), ...day.shots.map((shot) => this.#strip(shot)),
        this.#kitchen(), this.#key());
      return;
    }
    if (!shots.some((shot) => shot.name === this.shot)) this.shot = shots[0].name;
    if (this.minute === null || this.minute < day.from_min || this.minute > day.to_min) {
      this.minute = this.#looked.slot?.hero_min
        ?? (day.from_min + day.to_min) / 2;
      this.minute = Math.round(this.minute / 5) * 5;
    }
    this.place.replaceChildren(this.#hours(), this.#curve(),
      this.#hour(), ...day.shots.map((shot) => this.#strip(shot)), this.#kitchen(), this.#key());
    this.#look();
  }

  #x(minute) { return Math.min(Math.max(minute, this.day.from_min), this.day.to_min) - this.day.from_min; }
  get #width() { return this.day.to_min - this.day.from_min; }

  #row(kind, name, ...children) {
    return make("div", { class: `day-row ${kind}` }, make("div", { class: "day-name" }, name),
      make("div", { class: "day-lane" }, ...children,
      make("span", { class: "day-at", "aria-hidden": "true" })));
  }

  #hours() {
    const row = this.#row("hours", "");
    const lane = row.querySelector(".day-lane");
    this.day.hours.forEach(([minute, words], n) => {
      const label = make("span",
        { class: `hour${n % 2 ? " odd" : ""}${n ? "" : " first"}${n === this.day.hours.length - 1 ? " last" : ""}` }, words);
      label.style.left = `${(100 * this.#x(minute)) / this.#width}%`;
      lane.append(label);
    });
    return row;
  }

  /** The shot whose light is looked at: show() sees to it that there is one. */
  get #looked() {
    const found = this.day.shots.find((one) => one.name === this.shot);
    return /** @type {ShotShown & {light: LightShown}} */ (found);
  }

  #curve() {
    const shot = this.#looked;
    return this.#row("curve-row",
      [make("strong", {}, DAY.light), make("span", { class: "soft small" }, DAY.onShot(shot.name))],
      drawing(shot.light.curve));
  }

  /** @param {ShotShown} shot */
  #strip(shot) {
    const { slot, light } = shot;
    const goodWords = light ? DAY.good(light.good.length ? light.good_min : 0) : "";
    const name = light ? this.#chooser(shot, goodWords)
      : make("a", { class: "strip-name", href: `#shot-${shot.name}` }, shot.name);
    const row = this.#row("strip", name, drawing(shot.strip));
    if (light && slot && !slot.good_light) row.classList.add("not-good");
    return row;
  }

  /** The shot's name, to look at its light in the curve. */
  #chooser(shot, words) {
    const choose = () => {
      this.shot = shot.name;
      this.show(this.day);
      this.place.querySelector('.strip-name[aria-pressed="true"]')?.focus();
    };
    return make("button", { type: "button", class: "strip-name",
      "aria-pressed": String(shot.name === this.shot), onclick: choose },
      shot.name, make("span", { class: "soft small" }, words));
  }

  #kitchen() {
    const lane = drawing(this.day.kitchen_lane);
    lane.style.height = `${lane.dataset.high}px`;
    return this.#row("kitchen", [make("strong", {}, DAY.kitchen)], lane);
  }

  #hour() {
    const { day } = this;
    const input = make("input",
      { type: "range", id: "day-hour", min: day.from_min, max: day.to_min, step: 5, value: this.minute });
    input.addEventListener("input", () => { this.minute = Number(input.value); this.#look(); });
    const row = this.#row("hour-row", [make("label", { for: "day-hour" }, DAY.look)], input);
    row.querySelector(".day-lane")
      .append(make("output", { class: "day-told", for: "day-hour", "aria-live": "polite" }));
    this.input = input;
    return row;
  }

  #look() {
    const { day, minute } = this;
    const shot = this.#looked, { minutes, lux } = shot.light;
    let near = 0;
    minutes.forEach((m, i) => { if (Math.abs(m - minute) < Math.abs(minutes[near] - minute)) near = i; });
    const inside = (span) => span.start_min <= minute && minute < span.end_min;
    const lit = day.shots.filter((one) => one.light?.good.some(inside)).map((one) => one.name);
    const busy = day.shots.find((one) => one.slot && inside(one.slot)), slot = busy?.slot;
    const doing = slot ? { shot: busy.name,
      part: minute < slot.set_min ? "setting up" : minute < slot.hero_min ? "finishing" : "shooting" } : null;
    const clock = this.#clock(minute);
    this.input.setAttribute("aria-valuetext", clock);
    this.place.querySelector(".day-told").textContent =
      DAY.at({ clock, lux: lux[near], shot: shot.name, lit, all: day.shots.length, doing });
    for (const mark of this.place.querySelectorAll(".day-at")) mark.style.left =
      `${(100 * this.#x(minute)) / this.#width}%`;
  }

  #clock(minute) {
    const { hours } = this.day;
    const before = hours.filter(([at]) => at <= minute + 0.01).at(-1) || hours[0];
    return `${before[1].split(":")[0]}:${String(Math.round(minute - before[0])).padStart(2, "0")}`;
  }

  #key() {
    return make("p", { class: "day-key soft small" },
      this.day.key.map(({ svg, words }) => make("span", {}, drawing(svg), words)));
  }
}

/** The day in order: cooking and shots by the clock. @param {PlannedDay} day */
export function dayOrder(day) {
  const rows = [
    ...day.kitchen.map((task) => {
      const why = task.day_before ? task.why : task.why && DAY.forWhat(task.why);
      const how = [why, task.hands ? "" : DAY.handsFree].filter(Boolean).join(", ");
      return { at: task.start_min, words: task.words, what: task.name, how, kind: "cook" };
    }),
    ...day.shots.flatMap(({ name, slot }) => (slot ? [
      { at: slot.start_min, words: slot.setting_words,
        what: name, how: DAY.standIn, kind: "shoot", shot: name },
      { at: slot.hero_min, words: slot.frames_words,
        what: name, how: [DAY.hero, ...slot.remarks].join(". "), kind: "shoot", shot: name },
    ] : [])),
  ].sort((a, b) => a.at - b.at);
  if (!rows.length) return null;
  const item = (row) => make("li", { class: row.kind }, make("span", { class: "number when" }, row.words),
    make("span", {}, row.shot ? make("a", { href: `#shot-${row.shot}` }, row.what) : row.what,
    row.how ? make("span", { class: "soft small how" }, row.how) : null));
  const today = day.shots.filter((shot) => shot.slot).length;
  return { brief: DAY.orderBrief(rows.length, today), list: make("ol", { class: "plain order" }, ...rows.map(item)) };
}

/** Notes, plates and cautions. @param {PlannedDay} day */
export function dayNotes(day) {
  const out = [];
  if (day.notes.length) out.push(
    make("ul", { class: "plain notes" }, ...day.notes.map((note) => make("li", {}, note))));
  if (day.plates.length) out.push(make("details", {}, make("summary", {}, DAY.plates(day.plates.length)),
    make("ul", { class: "plain notes" }, ...day.plates.map((plate) => make("li", {}, plate)))));
  out.push(make("details", {}, make("summary", {}, DAY.care),
    make("ul", { class: "plain notes" }, ...day.cautions.map((caution) => make("li", {}, caution)))));
  return out;
}

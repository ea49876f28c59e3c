// The day: one light curve, a strip for every shot and the kitchen below it, drawn by the server on one axis of hours.
import { drawing, make } from "../core/dom.js";

/** 480 -> "8 h"; 95 -> "1 h 35 min". */
const hours = (minutes) => {
  const whole = Math.round(minutes), h = Math.floor(whole / 60), rest = whole % 60;
  return [h && `${h} h`, (rest || !h) && `${rest} min`].filter(Boolean).join(" ");
};

/** 483.2 -> "480": two figures and no more. */
export function rounded(value) {
  if (!(value > 0)) return "0";
  const digits = 1 - Math.floor(Math.log10(value));
  const shown = Math.round(value * 10 ** digits) / 10 ** digits;
  return digits > 0 ? shown.toFixed(digits) : String(shown);
}

/** Draws the day into an element; keeps the shot and the hour that are looked at. */
export class DayChart {
  constructor(place) {
    this.place = place;
    this.shot = "";
    this.minute = null;
    this.day = null;
  }

  show(day) {
    this.day = day;
    this.place.classList.toggle("unlit", Boolean(day.unlit));
    const shots = day.shots.filter((shot) => shot.light);
    if (!day.shots.length) { this.place.replaceChildren(make("p", { class: "soft" }, "Add a shot, and its light over the day stands here.")); return; }
    if (!shots.length) { this.place.replaceChildren(this.#hours(), ...day.shots.map((shot) => this.#strip(shot)), this.#kitchen(), this.#key()); return; }
    if (!shots.some((shot) => shot.name === this.shot)) this.shot = shots[0].name;
    if (this.minute === null || this.minute < day.from_min || this.minute > day.to_min) {
      this.minute = shots.find((shot) => shot.name === this.shot).slot?.hero_min ?? (day.from_min + day.to_min) / 2;
      this.minute = Math.round(this.minute / 5) * 5;
    }
    this.place.replaceChildren(this.#hours(), this.#curve(), this.#hour(), ...day.shots.map((shot) => this.#strip(shot)), this.#kitchen(), this.#key());
    this.#look();
  }

  #x(minute) { return Math.min(Math.max(minute, this.day.from_min), this.day.to_min) - this.day.from_min; }
  get #width() { return this.day.to_min - this.day.from_min; }

  #row(kind, name, ...children) {
    return make("div", { class: `day-row ${kind}` }, make("div", { class: "day-name" }, name), make("div", { class: "day-lane" }, ...children, make("span", { class: "day-at", "aria-hidden": "true" })));
  }

  #hours() {
    const row = this.#row("hours", "");
    const lane = row.querySelector(".day-lane");
    this.day.hours.forEach(([minute, words], n) => {
      const label = make("span", { class: `hour${n % 2 ? " odd" : ""}${n ? "" : " first"}${n === this.day.hours.length - 1 ? " last" : ""}` }, words);
      label.style.left = `${(100 * this.#x(minute)) / this.#width}%`;
      lane.append(label);
    });
    return row;
  }

  #curve() {
    const shot = this.day.shots.find((one) => one.name === this.shot);
    return this.#row("curve-row", [make("strong", {}, "Light"), make("span", { class: "soft small" }, `on ${shot.name}`)], drawing(shot.light.curve));
  }

  #strip(shot) {
    const { slot, light } = shot;
    const goodWords = !light ? "" : light.good.length ? `${hours(light.good_min)} of good light` : "no good light";
    const name = light ? this.#chooser(shot, goodWords) : make("a", { class: "strip-name", href: `#shot-${shot.name}` }, shot.name);
    const row = this.#row("strip", name, drawing(shot.strip));
    if (light && slot && !slot.good_light) row.classList.add("not-good");
    return row;
  }

  /** The shot's name, to look at its light in the curve. */
  #chooser(shot, words) {
    const choose = () => { this.shot = shot.name; this.show(this.day); this.place.querySelector('.strip-name[aria-pressed="true"]')?.focus(); };
    return make("button", { type: "button", class: "strip-name", "aria-pressed": String(shot.name === this.shot), onclick: choose }, shot.name, make("span", { class: "soft small" }, words));
  }

  #kitchen() {
    const lane = drawing(this.day.kitchen_lane);
    lane.style.height = `${lane.dataset.high}px`;
    return this.#row("kitchen", [make("strong", {}, "Kitchen")], lane);
  }

  #hour() {
    const { day } = this;
    const input = make("input", { type: "range", id: "day-hour", min: day.from_min, max: day.to_min, step: 5, value: this.minute });
    input.addEventListener("input", () => { this.minute = Number(input.value); this.#look(); });
    const row = this.#row("hour-row", [make("label", { for: "day-hour" }, "Look at an hour")], input);
    row.querySelector(".day-lane").append(make("output", { class: "day-told", for: "day-hour", "aria-live": "polite" }));
    this.input = input;
    return row;
  }

  #look() {
    const { day, minute } = this;
    const shot = day.shots.find((one) => one.name === this.shot);
    const { minutes, lux } = shot.light;
    let near = 0;
    minutes.forEach((m, i) => { if (Math.abs(m - minute) < Math.abs(minutes[near] - minute)) near = i; });
    const inside = (span) => span.start_min <= minute && minute < span.end_min;
    const lit = day.shots.filter((one) => one.light?.good.some(inside));
    const good = lit.length === day.shots.length ? "good for every shot" : lit.length ? `good for ${lit.map((one) => one.name).join(", ")}` : "good for no shot";
    const doing = day.shots.find((one) => one.slot && inside(one.slot));
    const clock = this.#clock(minute);
    this.input.setAttribute("aria-valuetext", clock);
    this.place.querySelector(".day-told").textContent = `${clock}: about ${rounded(lux[near])} lx on ${shot.name}; ${good}${doing ? `; ${minute < doing.slot.set_min ? "setting up" : minute < doing.slot.hero_min ? "finishing the plate for" : "shooting"} ${doing.name}` : ""}.`;
    for (const mark of this.place.querySelectorAll(".day-at")) mark.style.left = `${(100 * this.#x(minute)) / this.#width}%`;
  }

  #clock(minute) {
    const { hours } = this.day;
    const before = hours.filter(([at]) => at <= minute + 0.01).at(-1) || hours[0];
    return `${before[1].split(":")[0]}:${String(Math.round(minute - before[0])).padStart(2, "0")}`;
  }

  #key() {
    return make("p", { class: "day-key soft small" }, this.day.key.map(({ svg, words }) => make("span", {}, drawing(svg), words)));
  }
}

/** The day in order: cooking and shots by the clock. */
export function dayOrder(day) {
  const rows = [
    ...day.kitchen.map((task) => ({ at: task.start_min, words: task.words, what: task.name, how: [task.day_before ? task.why : task.why && `for ${task.why}`, task.hands ? "" : "needs no hands"].filter(Boolean).join(", "), kind: "cook" })),
    ...day.shots.filter((shot) => shot.slot).flatMap(({ name, slot }) => [
      { at: slot.start_min, words: slot.setting_words, what: name, how: "set up with the stand-in", kind: "shoot", shot: name },
      { at: slot.hero_min, words: slot.frames_words, what: name, how: ["the hero", ...slot.remarks].join(". "), kind: "shoot", shot: name },
    ]),
  ].sort((a, b) => a.at - b.at);
  if (!rows.length) return null;
  const item = (row) => make("li", { class: row.kind }, make("span", { class: "number when" }, row.words), make("span", {}, row.shot ? make("a", { href: `#shot-${row.shot}` }, row.what) : row.what, row.how ? make("span", { class: "soft small how" }, row.how) : null));
  return [make("h3", {}, "In order"), make("ol", { class: "plain order" }, ...rows.map(item))];
}

/** Notes, plates and the holding rule. */
export function dayNotes(day) {
  const out = [];
  if (day.notes.length) out.push(make("h3", {}, "To know"), make("ul", { class: "plain notes" }, ...day.notes.map((note) => make("li", {}, note))));
  if (day.plates.length) out.push(make("details", {}, make("summary", {}, `Plates of the dish: ${day.plates.length}`), make("ul", { class: "plain notes" }, ...day.plates.map((plate) => make("li", {}, plate)))));
  return out;
}

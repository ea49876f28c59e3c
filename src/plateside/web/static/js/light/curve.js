// One day's light as a curve in stops: sun patch, good light, and a mark at the hour that is looked at.
import { draw } from "../core/dom.js";
import { SAID } from "./words.js";

const BELOW = 46, ABOVE = 22;
const DASHES = ["6 4", "2 3", "9 3 2 3", "1 3"];

export class Curve {
  /** picked(index): somebody pressed or dragged on the curve. */
  constructor(place, picked) {
    Object.assign(this, { place, day: null, index: -1 });
    let last = 0;
    new ResizeObserver(() => {
      if (this.day && place.clientWidth !== last) { last = place.clientWidth; this.draw(this.day); this.mark(this.index); }
    }).observe(place);
    const pick = (event) => {
      if (!this.day) return;
      const x = event.clientX - place.getBoundingClientRect().left;
      picked(Math.round(this.day.first + ((x - this.left) / this.wide) * (this.day.last - this.day.first)));
    };
    place.addEventListener("pointerdown", (event) => {
      if (event.button > 0) return;
      place.setPointerCapture(event.pointerId);
      pick(event);
    });
    place.addEventListener("pointermove", (event) => { if (place.hasPointerCapture(event.pointerId)) pick(event); });
  }

  draw(day) {
    this.day = day;
    const width = this.place.clientWidth, small = width < 560;
    const style = getComputedStyle(this.place);
    this.left = parseFloat(style.getPropertyValue("--curve-left"));
    this.wide = width - this.left - parseFloat(style.getPropertyValue("--curve-right"));
    this.high = small ? 170 : 210;
    const svg = draw("svg", { width, height: ABOVE + this.high + BELOW, viewBox: `0 0 ${width} ${ABOVE + this.high + BELOW}`, role: "img", "aria-label": day.curve });
    svg.append(
      draw("defs", {}, draw("pattern", { id: "curve-sun", width: 6, height: 6, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
        draw("rect", { width: 6, height: 6, class: "sun-ground" }), draw("line", { x1: 0, y1: 0, x2: 0, y2: 6, class: "sun-line" })),
      draw("clipPath", { id: "curve-frame" }, draw("rect", { x: this.left, y: ABOVE, width: this.wide, height: this.high }))),
      this.#steps(small), this.#hours(small), this.#light(), this.#goodBar(), this.#edges(small),
    );
    this.line = draw("line", { y1: ABOVE, y2: ABOVE + this.high + 18, class: "mark" });
    this.dot = draw("circle", { r: 6, class: "dot" });
    svg.append(this.line, this.dot);
    this.place.replaceChildren(svg);
  }

  /** The hour that is looked at. */
  mark(index) {
    this.index = index;
    if (!this.day || index < 0) return;
    const x = this.#x(index), y = this.#y(this.day.lux[index]);
    for (const [name, value] of [["x1", x], ["x2", x]]) this.line.setAttribute(name, value);
    this.dot.setAttribute("cx", x);
    this.dot.setAttribute("cy", Math.min(y, ABOVE + this.high));
  }

  #x(index) { return this.left + ((index - this.day.first) / Math.max(1, this.day.last - this.day.first)) * this.wide; }

  #atSecond(s) {
    const step = this.day.seconds[1] - this.day.seconds[0];
    return Math.max(this.left, Math.min(this.left + this.wide, this.#x((s - this.day.seconds[0]) / step)));
  }

  #y(lux) {
    const { steps } = this.day, stops = Math.log2(steps[0].lx / Math.max(lux, 0.001));
    return ABOVE + Math.min(1.1, stops / (steps.length - 1)) * this.high;
  }

  #steps(small) {
    const group = draw("g", { class: "steps" });
    this.day.steps.forEach((step, i) => {
      const y = this.#y(step.lx);
      group.append(draw("line", { x1: this.left, x2: this.left + this.wide, y1: y, y2: y }));
      if (i % (small ? 2 : 1)) return;
      group.append(draw("text", { x: this.left - 8, y: y + 4, "text-anchor": "end" }, step.lx_words),
        draw("text", { x: this.left + this.wide + 8, y: y + 4 }, step.exposure));
    });
    group.append(draw("text", { x: this.left - 8, y: 11, "text-anchor": "end", class: "unit" }, "lx"),
      draw("text", { x: this.left + this.wide + 8, y: 11, class: "unit" }, small ? "f/8" : "f/8, ISO 100"));
    return group;
  }

  #hours(small) {
    const group = draw("g", { class: "hours" }), every = this.wide / (this.day.last - this.day.first + 1) * 12;
    const step = every > 48 ? 1 : every > 24 ? 2 : small ? 4 : 3;
    for (let i = this.day.first; i <= this.day.last; i++) {
      const clock = this.day.clocks[i];
      if (!clock.endsWith(":00") || Number(clock.slice(0, 2)) % step) continue;
      const x = this.#x(i);
      group.append(draw("line", { x1: x, x2: x, y1: ABOVE, y2: ABOVE + this.high }),
        draw("text", { x, y: ABOVE + this.high + 40, "text-anchor": "middle" }, clock));
    }
    return group;
  }

  #light() {
    const { day } = this, group = draw("g", { "clip-path": "url(#curve-frame)" });
    const points = (values) => {
      const out = [];
      for (let i = day.first; i <= day.last; i++) out.push(`${this.#x(i).toFixed(1)} ${this.#y(values[i]).toFixed(1)}`);
      return out;
    };
    for (const span of day.sun) {
      const a = this.#atSecond(span.start_s), b = this.#atSecond(span.end_s);
      group.append(draw("rect", { x: a, y: ABOVE, width: Math.max(1, b - a), height: this.high, fill: "url(#curve-sun)", class: "sun" }),
        draw("text", { x: (a + b) / 2, y: ABOVE + 16, "text-anchor": "middle", class: "sun-words" }, b - a > 110 ? SAID.sunOnDish : SAID.sun));
    }
    group.append(draw("path", { d: `M${[...points(day.high), ...points(day.low).reverse()].join("L")}Z`, class: "band" }));
    day.others.slice(0, DASHES.length).forEach((other, i) => {
      const line = points(other.lux), at = Math.floor(line.length * (0.3 + 0.15 * i));
      const [x, y] = line[at].split(" ").map(Number);
      group.append(draw("path", { d: `M${line.join("L")}`, class: "other", "stroke-dasharray": DASHES[i] }),
        draw("text", { x, y: y + 16, class: "other-name", "text-anchor": "middle" }, other.name));
    });
    group.append(draw("path", { d: `M${points(day.lux).join("L")}`, class: "halo" }), draw("path", { d: `M${points(day.lux).join("L")}`, class: "main" }));
    return group;
  }

  #goodBar() {
    const y = ABOVE + this.high + 8, group = draw("g", { class: "good" });
    group.append(draw("line", { x1: this.left, x2: this.left + this.wide, y1: y + 7, y2: y + 7 }));
    for (const span of this.day.good) {
      const a = this.#atSecond(span.start_s), b = this.#atSecond(span.end_s);
      group.append(draw("rect", { x: a, y, width: Math.max(2, b - a), height: 15, rx: 2 }));
      if (b - a > 110) group.append(draw("text", { x: (a + b) / 2, y: y + 12, "text-anchor": "middle" }, `good ${span.words}`));
    }
    return group;
  }

  #edges(small) {
    const group = draw("g", { class: "edges" });
    for (const [s, name, anchor] of [[this.day.sunrise_s, "sunrise", "start"], [this.day.sunset_s, "sunset", "end"]]) {
      if (s === null) continue;
      const x = this.#atSecond(s), step = this.day.seconds[1] - this.day.seconds[0];
      const clock = this.day.clocks[Math.max(0, Math.min(this.day.clocks.length - 1, Math.round((s - this.day.seconds[0]) / step)))];
      group.append(draw("line", { x1: x, x2: x, y1: ABOVE - 6, y2: ABOVE + this.high }),
        draw("text", { x, y: 11, "text-anchor": anchor }, small ? name : `${name} about ${clock}`));
    }
    return group;
  }
}

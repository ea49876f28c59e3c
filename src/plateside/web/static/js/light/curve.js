// One day's light: the server draws it; the mark at the hour that is looked at is moved here.
/** @import { DayShown } from "../core/facts" */
import { drawing, one } from "../core/dom.js";

/** A place narrower than this [px] has the drawing for a phone. */
const SMALL = 560;

export class Curve {
  /**
   * picked(index): somebody pressed or dragged on the curve; outgrown(): the place asks for the other
   * drawing.
   */
  constructor(place, picked, outgrown) {
    this.place = place;
    /** @type {DayShown | null} */
    this.day = null;
    this.index = -1;
    this.left = this.wide = this.top = this.high = this.mostLux = this.stops = 0;
    new ResizeObserver(() => {
      if (!this.day) return;
      if (this.small !== this.drawnSmall) { this.drawnSmall = this.small; outgrown(); } else this.#align();
    }).observe(place);
    const pick = (event) => {
      if (!this.day) return;
      const box = this.svg.getBoundingClientRect(),
        x = (event.clientX - box.left) * this.svg.viewBox.baseVal.width / box.width;
      picked(Math.round(this.day.first + ((x - this.left) / this.wide) * (this.day.last - this.day.first)));
    };
    place.addEventListener("pointerdown", (event) => {
      if (event.button > 0) return;
      place.setPointerCapture(event.pointerId);
      pick(event);
    });
    place.addEventListener("pointermove", (event) => {
      if (place.hasPointerCapture(event.pointerId)) pick(event);
    });
  }

  get small() { return this.place.clientWidth < SMALL; }

  /** @param {DayShown} day */
  draw(day) {
    this.day = day;
    this.drawnSmall = this.small;
    this.svg = drawing(day.curve);
    [this.left, this.wide, this.top, this.high, this.mostLux, this.stops] =
      ["left", "wide", "top", "high", "mostLx", "stops"].map((name) => Number(this.svg.dataset[name]));
    this.place.replaceChildren(this.svg);
    this.#align();
  }

  /** The slider below begins and ends where the curve does. */
  #align() {
    const px = this.place.clientWidth / this.svg.viewBox.baseVal.width;
    this.place.parentElement.style.setProperty("--curve-left", `${this.left * px}px`);
    this.place.parentElement.style.setProperty("--curve-right",
      `${this.place.clientWidth - (this.left + this.wide) * px}px`);
  }

  /** The hour that is looked at. */
  mark(index) {
    this.index = index;
    if (!this.day || index < 0) return;
    const { first, last, lux } = this.day, x = this.left
      + ((index - first) / Math.max(1, last - first)) * this.wide;
    const down = Math.log2(this.mostLux / Math.max(lux[index], 0.001)) / this.stops,
      line = one(".mark", this.svg), dot = one(".dot", this.svg);
    for (const name of ["x1", "x2"]) line.setAttribute(name, x);
    dot.setAttribute("cx", x);
    dot.setAttribute("cy", this.top + Math.min(1, down) * this.high);
  }
}

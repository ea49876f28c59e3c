// Where the verdict asks you to look at 100 %: that spot of the frame itself, a pixel of the photograph a
// pixel of the screen, over the corner of the picture that is furthest from it.
/** @import { LastFrame } from "../core/facts" */
import { make } from "../core/dom.js";
import { SPOT } from "./words.js";

export class Spot {
  constructor(place) {
    this.image = make("img", { alt: "", decoding: "async" });
    this.box = make("span", { class: "spot", "data-words": SPOT, hidden: true }, this.image);
    this.at = [0.5, 0.5];
    this.image.addEventListener("load", () => { this.box.hidden = false; this.lay(); });
    new ResizeObserver(() => this.lay()).observe(this.box);
    place.append(this.box);
  }

  /** @type {(frame: LastFrame | null) => void} */
  show(frame) {
    const at = frame?.word && !frame.pressed ? frame.look_at : null;
    if (!frame || !at) { this.box.hidden = true; this.box.dataset.frame = ""; return; }
    this.at = at;
    this.box.classList.toggle("left", at[0] >= 0.5);
    this.box.classList.toggle("top", at[1] >= 0.5);
    if (this.box.dataset.frame === frame.id) return;
    this.box.dataset.frame = frame.id;
    this.box.hidden = true;
    this.image.src = `/frames/${frame.id}/full.jpg`;
  }

  /** The spot in the middle, but never past the frame's own edge. */
  lay() {
    const pixel = 1 / (devicePixelRatio || 1), sides = [this.box.clientWidth, this.box.clientHeight];
    const whole = [this.image.naturalWidth * pixel, this.image.naturalHeight * pixel];
    if (!whole[0] || !sides[0]) return;
    const [left, top] = whole.map((size, n) =>
      Math.min(0, Math.max(sides[n] - size, sides[n] / 2 - this.at[n] * size)));
    Object.assign(this.image.style, { width: `${whole[0]}px`, left: `${left}px`, top: `${top}px` });
  }
}

// A crop on its picture: its shape fixed by the channel, moved by the middle, sized by the corners, by finger or by keys.
import { make } from "./core/dom.js";

const SMALLEST = 0.06;
const CORNERS = [["nw", "Upper left"], ["ne", "Upper right"], ["sw", "Lower left"], ["se", "Lower right"]];

/**
 * The editor over one picture.
 *   moved(box)   while it moves;  left(box)  when it is let go, or keys have rested
 */
export class CropEditor {
  constructor({ name, src, wide, high, moved, left }) {
    Object.assign(this, { wide, high, moved, left, box: [0, 0, 1, 1], aspect: wide / high, timer: 0 });
    const img = make("img", { alt: name, width: wide, height: high, draggable: "false" });
    img.loading = "lazy";
    img.src = src;
    this.dish = make("div", { class: "dish" }, make("span", {}, "the dish"));
    this.text = make("div", { class: "text-third" }, make("span", {}, "text"));
    this.frame = make("div", {
      class: "crop", tabindex: 0, role: "group", "aria-roledescription": "crop",
      "aria-keyshortcuts": "ArrowLeft ArrowRight ArrowUp ArrowDown + -",
    }, this.text, CORNERS.map(([corner, words]) => make("span", { class: `corner ${corner}`, "data-corner": corner, title: words })));
    this.shades = ["top", "bottom", "left", "right"].map((side) => make("div", { class: `shade ${side}` }));
    this.element = make("div", { class: "crop-stage" }, img, this.shades, this.dish, this.frame);
    this.element.style.aspectRatio = `${wide} / ${high}`;
    this.frame.addEventListener("pointerdown", (event) => this.#down(event));
    this.frame.addEventListener("keydown", (event) => this.#key(event));
  }

  /** Show a channel: its shape, where text will stand, the box (shares of the picture), where the dish is. */
  show(channel, box, dish) {
    clearTimeout(this.timer);
    this.channel = channel;
    // height over width of the crop, in shares of the picture
    this.ratio = (channel.height_px / channel.width_px) * this.aspect;
    this.text.className = `text-third ${channel.text_space}`;
    this.dish.hidden = !dish;
    if (dish) this.#lay(this.dish, dish);
    this.set(box, false);
  }

  set(box, tell = true) {
    let [x, y, w] = box;
    w = Math.min(Math.max(w, SMALLEST, SMALLEST / this.ratio), 1, 1 / this.ratio);
    const h = w * this.ratio;
    x = Math.min(Math.max(x, 0), 1 - w);
    y = Math.min(Math.max(y, 0), 1 - h);
    this.box = [x, y, w, h];
    this.#lay(this.frame, this.box);
    const [top, bottom, left, right] = this.shades;
    this.#lay(top, [0, 0, 1, y]); this.#lay(bottom, [0, y + h, 1, 1 - y - h]); this.#lay(left, [0, y, x, h]); this.#lay(right, [x + w, y, 1 - x - w, h]);
    this.frame.setAttribute("aria-label", `Crop for ${this.channel.name}: from ${Math.round(x * 100)} % from the left and ${Math.round(y * 100)} % from the top, ${Math.round(w * 100)} % wide. Arrows move, plus and minus scale.`);
    if (tell) this.moved(this.box);
  }

  #lay(element, [x, y, w, h]) {
    Object.assign(element.style, { left: `${x * 100}%`, top: `${y * 100}%`, width: `${Math.max(w, 0) * 100}%`, height: `${Math.max(h, 0) * 100}%` });
  }

  #down(event) {
    if (event.button) return;
    event.preventDefault();
    this.frame.focus({ preventScroll: true });
    this.frame.setPointerCapture(event.pointerId);
    const corner = event.target.closest(".corner")?.dataset.corner || "";
    const stage = this.element.getBoundingClientRect(), from = [...this.box], x0 = event.clientX, y0 = event.clientY;
    const move = (e) => {
      const dx = (e.clientX - x0) / stage.width, dy = (e.clientY - y0) / stage.height;
      if (!corner) this.set([from[0] + dx, from[1] + dy, from[2]]);
      else this.#corner(corner, from, dx, dy);
    };
    const up = () => {
      for (const [kind, action] of [["pointermove", move], ["pointerup", up], ["pointercancel", up]]) this.frame.removeEventListener(kind, action);
      if (this.box.some((v, n) => Math.abs(v - from[n]) > 1e-4)) this.left(this.box);
    };
    this.frame.addEventListener("pointermove", move);
    this.frame.addEventListener("pointerup", up);
    this.frame.addEventListener("pointercancel", up);
  }

  /** The opposite corner stays where it is; the shape too. */
  #corner(corner, [x, y, w, h], dx, dy) {
    const west = corner.includes("w"), north = corner.includes("n");
    const byWidth = w + (west ? -dx : dx), byHeight = (h + (north ? -dy : dy)) / this.ratio;
    const room = Math.min(west ? x + w : 1 - x, (north ? y + h : 1 - y) / this.ratio);
    const wide = Math.min(Math.max(Math.abs(byWidth - w) > Math.abs(byHeight - w) ? byWidth : byHeight, SMALLEST, SMALLEST / this.ratio), room);
    this.set([west ? x + w - wide : x, north ? y + h - wide * this.ratio : y, wide]);
  }

  #key(event) {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const step = event.shiftKey ? 0.05 : 0.01, [x, y, w, h] = this.box;
    const scaled = (factor) => {
      const wide = Math.min(Math.max(w * factor, SMALLEST, SMALLEST / this.ratio), 1, 1 / this.ratio);
      return [x + (w - wide) / 2, y + (h - wide * this.ratio) / 2, wide];
    };
    const to = {
      ArrowLeft: [x - step, y, w], ArrowRight: [x + step, y, w], ArrowUp: [x, y - step * this.aspect, w], ArrowDown: [x, y + step * this.aspect, w],
      "+": scaled(1.03), "=": scaled(1.03), "-": scaled(1 / 1.03), "−": scaled(1 / 1.03),
    }[event.key];
    if (!to) return;
    event.preventDefault();
    const before = [...this.box];
    this.set(to);
    if (this.box.every((v, n) => v === before[n])) return;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.left(this.box), 700);
  }
}

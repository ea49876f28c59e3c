// A crop on its picture: its shape fixed by the channel, moved by the middle, sized by the corners, by finger
// or by keys.
import { make } from "../core/dom.js";
import { CROP } from "./words.js";

const SMALLEST = 0.06, SMALLEST_DISH = 0.03;
const CORNERS = Object.entries(CROP.corners);
const KEYS = ["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "+", "-"].join(" ");

/**
 * The editor over one picture.
 *   moved(box)   while it moves;  left(box)  when it is let go, or keys have rested
 *   dish         the same two for the mark of the dish, which can be of any shape: {moved, left}
 * Crop and dish lie on each other, so one of them is taken hold of at a time: hold("dish"), hold("crop").
 */
export class CropEditor {
  constructor({ name, src, wide, high, moved, left, dish }) {
    this.wide = wide;
    this.high = high;
    this.moved = moved;
    this.left = left;
    this.ofDish = dish;
    /** @type {number[] | null} */
    this.dishBox = null;
    this.ratio = 1;
    this.pending = false;
    this.rested = null;
    this.editing = "crop";
    this.box = [0, 0, 1, 1];
    this.aspect = wide / high;
    this.timer = 0;
    const img = make("img", { alt: name, width: wide, height: high, draggable: "false" });
    img.loading = "lazy";
    img.src = src;
    this.dishWords = make("span", {});
    this.dish = make("div",
      { class: "dish", role: "group", "aria-roledescription": "mark", "aria-keyshortcuts": KEYS },
      this.dishWords,
        CORNERS.map(([corner, words]) =>
        make("span", { class: `corner ${corner}`, "data-corner": corner, title: words })));
    this.text = make("div", { class: "text-third" }, make("span", {}, CROP.text));
    this.frame = make("div", {
      class: "crop", tabindex: 0, role: "group", "aria-roledescription": "crop",
      "aria-keyshortcuts": KEYS,
    }, this.text,
      CORNERS.map(([corner, words]) =>
      make("span", { class: `corner ${corner}`, "data-corner": corner, title: words })));
    this.shades = ["top", "bottom", "left", "right"].map((side) => make("div", { class: `shade ${side}` }));
    this.element = make("div", { class: "crop-stage" }, img, this.shades, this.dish, this.frame);
    this.element.style.aspectRatio = `${wide} / ${high}`;
    for (const [part, at, put, left] of [
      [this.frame, () => this.box, (corner, from, dx, dy) =>
        (corner ? this.#corner(corner, from, dx, dy) : this.set([from[0] + dx, from[1] + dy, from[2]])),
        (b) => this.left(b)],
      [this.dish, () => this.dishBox, (corner, from, dx, dy) => this.setDish(reshaped(from, corner, dx, dy)),
        (b) => this.ofDish.left(b)],
    ]) part.addEventListener("pointerdown", (event) => this.#down(event, part, at, put, left));
    this.frame.addEventListener("keydown", (event) => this.#key(event));
    this.dish.addEventListener("keydown", (event) => this.#dishKey(event));
    this.hold("crop");
  }

  /** What can be taken hold of: the crop, or the mark of the dish. */
  hold(which) {
    this.editing = which;
    this.element.classList.toggle("marking", which === "dish");
    this.frame.tabIndex = which === "dish" ? -1 : 0;
    if (which === "dish") this.dish.tabIndex = 0; else this.dish.removeAttribute("tabindex");
  }

  /** Save at once what the keys have moved. */
  flush() {
    clearTimeout(this.timer);
    const { rested } = this;
    this.rested = null; this.pending = false;
    rested?.();
  }

  #later(action) {
    this.pending = true; this.rested = action;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.flush(), 700);
  }

  /** Where the dish is (shares of the picture); `tell`: it is being moved. */
  setDish(box, tell = true) {
    const w = Math.min(Math.max(box[2], SMALLEST_DISH), 1), h = Math.min(Math.max(box[3], SMALLEST_DISH), 1);
    this.dishBox = [Math.min(Math.max(box[0], 0), 1 - w), Math.min(Math.max(box[1], 0), 1 - h), w, h];
    this.#lay(this.dish, this.dishBox);
    this.dish.setAttribute("aria-label", CROP.dishAt(this.dishBox));
    if (tell) this.ofDish.moved(this.dishBox);
  }

  /**
   * Show a channel: its shape, where text will stand, the box (shares of the picture), where the dish is and
   * who says so.
   */
  show(channel, box, dish, dishIsYours = false) {
    // news must not take a box out of your hand, nor drop what the keys have moved and not yet saved
    if (this.pending && this.channel?.name === channel.name) return;
    this.flush();
    this.channel = channel;
    // height over width of the crop, in shares of the picture
    this.ratio = (channel.height_px / channel.width_px) * this.aspect;
    this.text.className = `text-third ${channel.text_space}`;
    this.dish.hidden = !dish;
    this.dishWords.textContent = CROP.dish[Number(Boolean(dishIsYours))];
    if (dish) this.setDish(dish, false);
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
    this.#lay(top, [0, 0, 1, y]); this.#lay(bottom, [0, y + h, 1, 1 - y - h]);
      this.#lay(left, [0, y, x, h]); this.#lay(right, [x + w, y, 1 - x - w, h]);
    this.frame.setAttribute("aria-label", CROP.cropAt(this.channel.name, this.box));
    if (tell) this.moved(this.box);
  }

  /** @param {HTMLElement} element @param {number[]} box */
  #lay(element, box) {
    const [x, y, w, h] = box;
    Object.assign(element.style,
      { left: `${x * 100}%`, top: `${y * 100}%`, width: `${Math.max(w, 0) * 100}%`,
      height: `${Math.max(h, 0) * 100}%` });
  }

  #down(event, part, at, put, left) {
    if (event.button || (part === this.dish) !== (this.editing === "dish")) return;
    event.preventDefault();
    this.flush();
    this.pending = true;
    part.focus({ preventScroll: true });
    part.setPointerCapture(event.pointerId);
    const corner = event.target.closest(".corner")?.dataset.corner || "";
    const stage = this.element.getBoundingClientRect(),
      from = [...at()], x0 = event.clientX, y0 = event.clientY;
    const move = (e) => put(corner, from, (e.clientX - x0) / stage.width, (e.clientY - y0) / stage.height);
    const up = () => {
      for (const [kind, action] of [["pointermove", move],
        ["pointerup", up], ["pointercancel", up]]) part.removeEventListener(kind, action);
      this.pending = false;
      if (at().some((v, n) => Math.abs(v - from[n]) > 1e-4)) left(at());
    };
    part.addEventListener("pointermove", move);
    part.addEventListener("pointerup", up);
    part.addEventListener("pointercancel", up);
  }

  /**
   * The opposite corner stays where it is; the shape too.
   * @param {string} corner
   * @param {number[]} box
   */
  #corner(corner, box, dx, dy) {
    const [x, y, w, h] = box;
    const west = corner.includes("w"), north = corner.includes("n");
    const byWidth = w + (west ? -dx : dx), byHeight = (h + (north ? -dy : dy)) / this.ratio;
    const room = Math.min(west ? x + w : 1 - x, (north ? y + h : 1 - y) / this.ratio);
    const wide =
      Math.min(Math.max(Math.abs(byWidth - w) > Math.abs(byHeight - w) ? byWidth : byHeight,
      SMALLEST, SMALLEST / this.ratio), room);
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
      ArrowLeft: [x - step, y, w], ArrowRight: [x + step, y, w],
        ArrowUp: [x, y - step * this.aspect, w], ArrowDown: [x, y + step * this.aspect, w],
      "+": scaled(1.03), "=": scaled(1.03), "-": scaled(1 / 1.03), "−": scaled(1 / 1.03),
    }[event.key];
    if (!to) return;
    event.preventDefault();
    const before = [...this.box];
    this.set(to);
    if (this.box.every((v, n) => v === before[n])) return;
    this.#later(() => this.left(this.box));
  }

  #dishKey(event) {
    if (event.altKey || event.ctrlKey || event.metaKey || this.editing !== "dish" || !this.dishBox) return;
    const step = event.shiftKey ? 0.05 : 0.01, [x, y, w, h] = this.dishBox;
    const scaled = (factor) => [x + (w - w * factor) / 2, y + (h - h * factor) / 2, w * factor, h * factor];
    const to = {
      ArrowLeft: [x - step, y, w, h], ArrowRight: [x + step, y, w, h],
        ArrowUp: [x, y - step * this.aspect, w, h], ArrowDown: [x, y + step * this.aspect, w, h],
      "+": scaled(1.04), "=": scaled(1.04), "-": scaled(1 / 1.04), "−": scaled(1 / 1.04),
    }[event.key];
    if (!to) return;
    event.preventDefault();
    this.setDish(to);
    this.#later(() => this.ofDish.left(this.dishBox));
  }
}

/** A box of any shape, moved as a whole or by one corner; the other corner stays. */
function reshaped([x, y, w, h], corner, dx, dy) {
  if (!corner) return [x + dx, y + dy, w, h];
  const west = corner.includes("w"), north = corner.includes("n");
  const wide = Math.max(west ? Math.min(w - dx, x + w) : Math.min(w + dx, 1 - x), SMALLEST_DISH);
  const high = Math.max(north ? Math.min(h - dy, y + h) : Math.min(h + dy, 1 - y), SMALLEST_DISH);
  return [west ? x + w - wide : x, north ? y + h - high : y, wide, high];
}

// The frame on its stage: whole, or pixel for pixel, moved by pointer and keys; parts are fetched as they
// come into view. Pixel for pixel means one pixel of the picture on one of the screen's own.
import { make } from "../core/dom.js";

const STEP = 0.15, FAR = 0.6, DRAGGED_PX = 6;
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const between = (low, value, high) => Math.min(Math.max(value, low), high);

export class Plane {
  /** @type {{wide: number, high: number, tile: number} | null} */
  size = null;
  /** @type {Map<string, HTMLElement>} */
  #parts = new Map();
  /**
   * The press that began, and how far it went.
   * @type {{ id: number, x: number, y: number, far: number } | null}
   */
  #down = null;

  /**
   * stage: the element it stands in. moved(): after each change. masked(): names of the masks that are wanted
   * part by part. touched(x, y): a press on the frame, shares of it.
   */
  constructor(stage, { moved, masked, touched }) {
    this.stage = stage;
    this.moved = moved;
    this.masked = masked;
    this.touched = touched;
    this.base = make("img", { class: "base", alt: "", draggable: "false" });
    this.tiles = make("div", { class: "tiles" });
    this.picture = make("div", { class: "picture" }, this.base, this.tiles);
    this.masks = make("div", { class: "masks over" });
    this.plane = make("div", { class: "plane" }, this.picture, this.masks);
    stage.prepend(this.plane);
    this.base.addEventListener("load", () => this.draw());
    new ResizeObserver(() => this.draw()).observe(stage);
    stage.addEventListener("pointerdown", (event) => this.#pressed(event));
    stage.addEventListener("pointermove", (event) => this.#dragged(event));
    for (const kind of ["pointerup", "pointercancel"]) {
      stage.addEventListener(kind, (event) => this.#released(event));
    }
    stage.addEventListener("wheel", (event) => {
      event.preventDefault();
      if (this.zoom) this.#by(event.deltaX, event.deltaY);
    }, { passive: false });
    this.zoom = 0;
    this.x = this.y = 0.5;
  }

  /** Another frame, at the same place and scale. */
  show(frame) {
    this.frame = frame;
    this.size = null;
    this.base.src = `/frames/${frame}/view.jpg`;
    this.#forget();
    this.draw();
  }

  whole() {
    this.zoom = 0;
    this.x = this.y = 0.5;
    this.draw();
  }

  /** `zoom` pixels of the screen for one of the picture, about a place of the frame. */
  close(zoom, x, y) {
    this.zoom = zoom;
    this.x = x;
    this.y = y;
    this.draw();
  }

  /** One key; whether it was for this. */
  key(event) {
    const way = ARROWS[event.key];
    if (!way || !this.zoom) return false;
    const step = event.shiftKey ? FAR : STEP;
    this.#by(way[0] * step * this.stage.clientWidth, way[1] * step * this.stage.clientHeight);
    return true;
  }

  /** Width and height of the frame as it is drawn [css px]. */
  get shown() {
    const { naturalWidth: w, naturalHeight: h } = this.base;
    if (this.zoom && this.size) {
      return [this.size.wide * this.zoom / devicePixelRatio, this.size.high * this.zoom / devicePixelRatio];
    }
    const s = Math.min(this.stage.clientWidth / (w || 3), this.stage.clientHeight / (h || 2));
    return [(w || 3) * s, (h || 2) * s];
  }

  draw() {
    if (!this.frame) return;
    const [wide, high] = this.shown, { clientWidth: room, clientHeight: tall } = this.stage;
    const place = (whole, at, space) =>
      (whole <= space ? (space - whole) / 2 : between(space - whole, space / 2 - at * whole, 0));
    // on the screen's own pixels: a picture between two of them is no longer pixel for pixel
    const { x, y } = this.stage.getBoundingClientRect();
    const snapped = (v, from) => Math.round((from + v) * devicePixelRatio) / devicePixelRatio - from;
    const left = snapped(place(wide, this.x, room), x), top = snapped(place(high, this.y, tall), y);
    if (wide > room) this.x = (room / 2 - left) / wide;
    if (high > tall) this.y = (tall / 2 - top) / high;
    Object.assign(this.plane.style,
      { width: `${wide}px`, height: `${high}px`, transform: `translate(${left}px, ${top}px)` });
    this.plane.dataset.zoom = String(this.zoom);
    this.#fetch(left, top, room, tall);
    this.moved();
  }

  /** The parts in view, and one beyond each edge. */
  #fetch(left, top, room, tall) {
    if (!this.zoom || !this.size) { this.#forget(); return; }
    const { wide, high, tile } = this.size, scale = this.zoom / devicePixelRatio, side = tile * scale;
    const first = [Math.floor(-left / side), Math.floor(-top / side)],
      last = [Math.floor((room - left - 1) / side), Math.floor((tall - top - 1) / side)];
    const wanted = new Map(), masks = this.masked();
    for (let row = Math.max(first[1], 0); row <= last[1] && row * tile < high; row++) {
      for (let column = Math.max(first[0], 0); column <= last[0] && column * tile < wide; column++) {
        for (const which of ["", ...masks]) wanted.set(`${which} ${column}-${row}`, { which, column, row });
      }
    }
    for (const [key, part] of this.#parts) if (!wanted.has(key)) { part.remove(); this.#parts.delete(key); }
    for (const [key, { which, column, row }] of wanted) {
      const w = Math.min(tile, wide - column * tile), h = Math.min(tile, high - row * tile);
      const at = `left:${column * side}px;top:${row * side}px;width:${w * scale}px;height:${h * scale}px`;
      let part = this.#parts.get(key);
      if (!part) {
        const fresh = which ? mask(which, `/set/closer/${this.frame}/${which}/${column}-${row}.png`)
          : make("img", { alt: "", draggable: "false", src: `/set/closer/${this.frame}/${column}-${row}.jpg`,
            onerror: (event) => { event.target.remove(); this.#parts.delete(key); } });
        part = /** @type {HTMLElement} */ (fresh);
        this.#parts.set(key, part);
        (which ? this.masks : this.tiles).append(part);
      }
      const base = part.dataset.mask ? part.dataset.mask : "";
      part.style.cssText = base + at;
    }
  }

  /** Masks are wanted, or no longer. */
  masksChanged() {
    for (const whole of [...this.masks.querySelectorAll(".whole-mask")]) whole.remove();
    if (!this.zoom && this.frame) {
      for (const which of this.masked()) {
        const whole = mask(which, `/set/closer/${this.frame}/${which}.png`);
        whole.classList.add("whole-mask");
        whole.style.cssText = `${whole.dataset.mask}inset:0`;
        this.masks.append(whole);
      }
    }
  }

  #forget() {
    for (const part of this.#parts.values()) part.remove();
    this.#parts.clear();
  }

  #by(across, down) {
    const [wide, high] = this.shown;
    this.x = between(0, this.x + across / wide, 1);
    this.y = between(0, this.y + down / high, 1);
    this.draw();
  }

  #pressed(event) {
    if (event.button || event.target.closest(".closer-card")) return;
    this.stage.setPointerCapture(event.pointerId);
    this.#down = { id: event.pointerId, x: event.clientX, y: event.clientY, far: 0 };
  }

  #dragged(event) {
    const begun = this.#down;
    if (!begun || event.pointerId !== begun.id) return;
    const across = event.clientX - begun.x, down = event.clientY - begun.y;
    const far = begun.far + Math.hypot(across, down);
    this.#down = { ...begun, x: event.clientX, y: event.clientY, far };
    if (this.zoom) this.#by(-across, -down);
  }

  #released(event) {
    const begun = this.#down;
    if (!begun || event.pointerId !== begun.id) return;
    const { far } = begun;
    this.#down = null;
    if (event.type === "pointercancel" || far > DRAGGED_PX) return;
    const box = this.plane.getBoundingClientRect();
    const x = (event.clientX - box.left) / box.width, y = (event.clientY - box.top) / box.height;
    if (x >= 0 && x <= 1 && y >= 0 && y <= 1) this.touched(x, y);
  }
}

/** An element that shows only where the mask at this address is opaque. */
export function mask(which, address) {
  const style = `-webkit-mask-image:url("${address}");mask-image:url("${address}");`;
  return make("div", { class: `mask ${which === "sharp" ? "sharp" : "clipped"}`, "data-mask": style });
}

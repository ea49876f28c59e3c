// One magnifier over several pictures: the same place at the same scale in each, whichever of them is moved.

const LARGEST = 24;

/**
 * Pictures in panes (elements with one <img>). Scale 1 shows the whole picture; a place is a share of the
 * picture, so
 * that frames of other sizes keep in step.
 *   closer(pane)  called when a pane is magnified beyond the pixels it has
 *   zoomed({scale, percent})  after each change
 */
export class Glass {
  constructor({ closer = (_pane) => {}, zoomed = (_at) => {} } = {}) {
    this.closer = closer;
    this.zoomed = zoomed;
    this.scale = 1;
    this.x = 0.5;
    this.y = 0.5;
    this.panes = [];
    this.fingers = new Map();
    this.sized = new ResizeObserver(() => this.draw());
  }

  add(pane) {
    this.panes.push(pane);
    this.sized.observe(pane);
    pane.addEventListener("wheel", (event) => {
      event.preventDefault();
      this.zoom(Math.exp(-event.deltaY * (event.ctrlKey ? 0.01 : 0.0016)),
        pane, event.clientX, event.clientY);
    }, { passive: false });
    pane.addEventListener("pointerdown", (event) => {
      if (event.button || event.target.closest("button, [role=slider]")) return;
      pane.setPointerCapture(event.pointerId);
      this.fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
      pane.classList.add("held");
    });
    pane.addEventListener("pointermove", (event) => this.#moved(pane, event));
    const up = (event) => { this.fingers.delete(event.pointerId); pane.classList.remove("held"); };
    pane.addEventListener("pointerup", up);
    pane.addEventListener("pointercancel", up);
    pane.querySelector("img").addEventListener("load", () => this.draw());
    this.draw();
  }

  remove(pane) {
    this.sized.unobserve(pane);
    this.panes = this.panes.filter((p) => p !== pane);
  }

  /** Width and height [css px] of a pane's picture at scale 1. */
  fit(pane) {
    const img = pane.querySelector("img"), wide = img.naturalWidth || 3, high = img.naturalHeight || 2;
    const s = Math.min(pane.clientWidth / wide, pane.clientHeight / high);
    return { wide: wide * s, high: high * s };
  }

  /**
   * Larger or smaller by a factor, about a place on the screen (or the middle).
   * @param {number} factor
   * @param {any} pane
   * @param {number | null} clientX
   * @param {number | null} clientY
   */
  zoom(factor, pane = this.panes[0], clientX = null, clientY = null) {
    if (!pane) return;
    const box = pane.getBoundingClientRect(), { wide, high } = this.fit(pane);
    const dx = clientX === null ? 0 : clientX - box.left - box.width / 2,
      dy = clientY === null ? 0 : clientY - box.top - box.height / 2;
    const before = this.scale;
    this.scale = Math.min(Math.max(before * factor, 1), LARGEST);
    // what lies under the finger stays under it
    this.x += dx / wide * (1 / before - 1 / this.scale);
    this.y += dy / high * (1 / before - 1 / this.scale);
    this.draw();
  }

  /** Move by shares of what is seen. */
  pan(across, down) { this.x += across / this.scale; this.y += down / this.scale; this.draw(); }

  whole() { this.scale = 1; this.x = this.y = 0.5; this.draw(); }

  /** One pixel of the picture on one of the screen. */
  pixelForPixel(naturalWidth, pane = this.panes[0]) {
    if (!pane) return;
    this.zoom(naturalWidth / devicePixelRatio / this.fit(pane).wide / this.scale, pane);
  }

  #moved(pane, event) {
    const before = this.fingers.get(event.pointerId);
    if (!before) return;
    const now = { x: event.clientX, y: event.clientY }, { wide, high } = this.fit(pane);
    const other = [...this.fingers.entries()].find(([id]) => id !== event.pointerId)?.[1];
    this.fingers.set(event.pointerId, now);
    if (other) {
      const far = (p) => Math.hypot(p.x - other.x, p.y - other.y) || 1;
      this.zoom(far(now) / far(before), pane, (now.x + other.x) / 2, (now.y + other.y) / 2);
    }
    const share = other ? 2 : 1;
    this.x -= (now.x - before.x) / share / wide / this.scale;
    this.y -= (now.y - before.y) / share / high / this.scale;
    this.draw();
  }

  draw() {
    const half = 0.5 / this.scale;
    this.x = Math.min(Math.max(this.x, half), 1 - half);
    this.y = Math.min(Math.max(this.y, half), 1 - half);
    for (const pane of this.panes) {
      const img = pane.querySelector("img"), { wide, high } = this.fit(pane);
      const w = wide * this.scale, h = high * this.scale;
      img.style.width = `${w}px`;
      img.style.height = `${h}px`;
      // the middle of the pane shows the place (x, y); a picture smaller than its pane stands in the middle
      const left = w <= pane.clientWidth ? (pane.clientWidth - w) / 2
        : Math.min(0, Math.max(pane.clientWidth - w, pane.clientWidth / 2 - this.x * w));
      const top = h <= pane.clientHeight ? (pane.clientHeight - h) / 2
        : Math.min(0, Math.max(pane.clientHeight - h, pane.clientHeight / 2 - this.y * h));
      img.style.transform = `translate(${left}px, ${top}px)`;
      if (img.naturalWidth && w * devicePixelRatio > img.naturalWidth * 1.05) this.closer(pane);
    }
    this.zoomed({ scale: this.scale });
  }
}

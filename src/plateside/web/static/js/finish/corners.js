// A picture and four points on it, dragged or moved by keys, with a magnifier while one is moved.
/**
 * Left and top as shares of the picture, of its four corners in their order.
 * @typedef {[number, number]} Point
 */
import { draw, make } from "../core/dom.js";
import { CORNERS } from "./words.js";

const TIMES = 4;
/** Of the picture's width or height by one press of a key; with Shift ten times that. */
const STEP = 0.001;

/**
 * `names`: what each corner is called, in the order of `points`. `changed`: called when a point was let go.
 * `element` is to be placed; `points()` gives where they are; `set()` puts them.
 * @param {{ src: string, alt: string, wide: number, high: number, names: string[], points: Point[],
 *   changed?: (points: Point[]) => void }} given
 */
export function corners({ src, alt, wide, high, names, points, changed = () => {} }) {
  /** @type {Point[]} */
  let at = points.map(([x, y]) => [x, y]);
  const outline = draw("polygon", { "vector-effect": "non-scaling-stroke" });
  const image = make("img", { src, alt, width: wide, height: high, draggable: "false" });
  const near = make("div", { class: "near", "aria-hidden": "true", hidden: true });
  const handles = names.map((name, n) => make("button", { type: "button", class: "pin", "data-corner": n,
    "aria-describedby": "corners-keys" }, make("span", { "aria-hidden": "true" }, String(n + 1))));
  const stage = make("div", { class: "corners" }, image,
    draw("svg", { viewBox: "0 0 1 1", preserveAspectRatio: "none", "aria-hidden": "true" }, outline),
    handles, near);
  stage.style.aspectRatio = `${wide} / ${high}`;
  const element = make("div", { role: "group", "aria-label": CORNERS.group }, stage,
    make("p", { class: "small soft", id: "corners-keys" }, CORNERS.keys));

  function place() {
    outline.setAttribute("points", at.map((point) => point.join(",")).join(" "));
    for (const [n, handle] of handles.entries()) {
      const [x, y] = at[n];
      handle.style.left = `${x * 100}%`;
      handle.style.top = `${y * 100}%`;
      handle.setAttribute("aria-label", CORNERS.at(names[n], x, y));
    }
  }
  /** @param {number} n @param {number} x @param {number} y */
  function move(n, x, y) {
    at[n] = [Math.min(Math.max(x, 0), 1), Math.min(Math.max(y, 0), 1)];
    place();
    magnify(n);
  }
  /** What lies under the point, larger, on the side where the finger is not. @param {number} n */
  function magnify(n) {
    const [x, y] = at[n], { width, height } = stage.getBoundingClientRect(), side = near.clientWidth;
    near.hidden = false;
    near.classList.toggle("right", x < 0.5);
    near.style.backgroundImage = `url("${image.currentSrc || src}")`;
    near.style.backgroundSize = `${width * TIMES}px ${height * TIMES}px`;
    near.style.backgroundPosition =
      `${(side || 144) / 2 - x * width * TIMES}px ${(side || 144) / 2 - y * height * TIMES}px`;
  }
  const now = () => /** @type {Point[]} */ (at.map(([x, y]) => [x, y]));
  for (const [n, handle] of handles.entries()) {
    handle.addEventListener("pointerdown", (event) => {
      if (event.button) return;
      event.preventDefault();
      handle.focus({ preventScroll: true });
      handle.setPointerCapture(event.pointerId);
      const box = stage.getBoundingClientRect(), from = [...at[n]];
      const x0 = event.clientX, y0 = event.clientY;
      /** @param {PointerEvent} e */
      const moved = (e) => move(n, from[0] + (e.clientX - x0) / box.width,
        from[1] + (e.clientY - y0) / box.height);
      const up = () => {
        near.hidden = true;
        for (const kind of ["pointerup", "pointercancel"]) handle.removeEventListener(kind, up);
        handle.removeEventListener("pointermove", moved);
        if (at[n][0] !== from[0] || at[n][1] !== from[1]) changed(now());
      };
      handle.addEventListener("pointermove", moved);
      for (const kind of ["pointerup", "pointercancel"]) handle.addEventListener(kind, up);
    });
    handle.addEventListener("keydown", (event) => {
      const by = /** @type {Record<string, number[]>} */ ({ ArrowLeft: [-1, 0], ArrowRight: [1, 0],
        ArrowUp: [0, -1], ArrowDown: [0, 1] })[event.key];
      if (!by || event.altKey || event.ctrlKey || event.metaKey) return;
      event.preventDefault();
      const step = STEP * (event.shiftKey ? 10 : 1);
      move(n, at[n][0] + by[0] * step, at[n][1] + by[1] * step);
    });
    handle.addEventListener("keyup", (event) => { if (event.key.startsWith("Arrow")) changed(now()); });
    handle.addEventListener("blur", () => { near.hidden = true; });
  }
  place();
  return {
    element,
    points: now,
    /** @param {Point[]} to */
    set(to) { at = to.map(([x, y]) => [x, y]); near.hidden = true; place(); },
  };
}

/** Whether four points go round one way and no side folds over another. @param {Point[]} points */
export function isQuadrangle(points) {
  const turns = points.map((a, n) => {
    const b = points[(n + 1) % 4], c = points[(n + 2) % 4];
    return Math.sign((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]));
  });
  return turns.every((turn) => turn !== 0 && turn === turns[0]);
}

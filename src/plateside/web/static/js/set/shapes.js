// One shape a state, told apart by form alone: no colour, no position, no number.
import { draw } from "../core/dom.js";

const ring = (more = {}) => draw("circle", { cx: 50, cy: 50, r: 41, ...more });
const SHAPES = {
  // a full circle: nothing to do
  good: () => [draw("circle", { class: "full", cx: 50, cy: 50, r: 46 })],
  // a full circle held in a ring: yours
  kept: () => [ring({ r: 44, "stroke-width": 6 }), draw("circle", { class: "full", cx: 50, cy: 50, r: 29 })],
  // an open ring with a bar: something to turn
  adjust: () => [ring(), draw("path", { d: "M26 50H74" })],
  // a square: not this one
  again: () => [draw("rect", { class: "full", x: 8, y: 8, width: 84, height: 84 })],
  // a square held in a frame: yours
  noted: () => [draw("rect", { x: 7, y: 7, width: 86, height: 86, "stroke-width": 6 }),
    draw("rect", { class: "full", x: 24, y: 24, width: 52, height: 52 })],
  // a chart's patches
  chart: () => [20, 50, 80].flatMap((x) => [35, 65].map((y) =>
    draw("rect", { class: "full", x: x - 12, y: y - 12, width: 24, height: 24 }))),
  // three lines of a page that is being read
  wait: () => [draw("path", { d: "M14 26H86M14 50H86M14 74H52" })],
  // a table with nothing on it
  ready: () => [draw("path", { d: "M6 56H94M22 56V90M78 56V90" })],
  // a cross of two broken halves: no link
  lost: () => [draw("path", { d: "M36 14H14V86H36M64 14H86V86H64M38 62L62 38" })],
  // two upright bars: stands still
  stopped: () => [draw("path", { d: "M34 12V88M66 12V88" })],
};

/** Draw a state's shape into its place. */
export function shape(place, name) {
  if (place.dataset.shape === name) return;
  place.dataset.shape = name;
  place.replaceChildren(...SHAPES[name]());
}

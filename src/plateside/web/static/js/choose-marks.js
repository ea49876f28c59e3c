// A verdict is one word and one shape; her press and a frame's part in the set are words with a shape too.
import { draw, make } from "./core/dom.js";

const SHAPES = {
  good: () => draw("circle", { cx: 8, cy: 8, r: 6, class: "full" }),
  adjust: () => draw("path", { d: "M8 1.5 14.5 8 8 14.5 1.5 8Z", class: "line" }),
  again: () => draw("path", { d: "M3 3 13 13M13 3 3 13", class: "line" }),
  kept: () => draw("path", { d: "M2.5 8.5 6.5 12.5 13.5 4", class: "line" }),
  hero: () => draw("path", { d: "M8 1.2 10.1 5.6 14.9 6.2 11.4 9.6 12.3 14.4 8 12 3.7 14.4 4.6 9.6 1.1 6.2 5.9 5.6Z", class: "full" }),
  alternate: () => draw("path", { d: "M8 1.2 10.1 5.6 14.9 6.2 11.4 9.6 12.3 14.4 8 12 3.7 14.4 4.6 9.6 1.1 6.2 5.9 5.6Z", class: "line" }),
  none: () => draw("circle", { cx: 8, cy: 8, r: 2, class: "full" }),
};

/** The shape alone, for the eye. */
export function shape(kind) {
  return draw("svg", { viewBox: "0 0 16 16", width: 16, height: 16, class: `shape ${kind}`, "aria-hidden": "true" }, (SHAPES[kind] || SHAPES.none)());
}

/** Shape and word. */
export const mark = (kind, words = kind) => make("span", { class: `mark-${kind} mark-one` }, shape(kind), words);

/** What there is to say of a frame, in words, for one who listens. */
export function spoken(frame, part) {
  return [
    frame.name, frame.word || "not judged", part, frame.pressed === "kept" ? "kept by you" : frame.pressed === "again" ? "again, by you" : "",
  ].filter(Boolean).join(", ");
}

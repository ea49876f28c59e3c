// A verdict is one word and one shape; your press and a frame's part in the series are words with a shape
// too.
import { make } from "../core/dom.js";

/** The shape alone, for the eye: drawn by the style sheet, so that two thousand cost nothing. */
export const shape = (kind) => make("span", { class: `shape shape-${kind}`, "aria-hidden": "true" });

/** Shape and word. */
export const mark = (kind, words = kind) =>
  make("span", { class: `mark-one mark-${kind} shape-${kind}` }, words);

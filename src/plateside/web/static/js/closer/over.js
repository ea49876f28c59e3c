// What is laid over the frame: marks, crops, grid, level, the test frame, the layout. In shares of the frame.
/** @import { CloserFacts, SaidMark } from "../core/facts" */
import { draw, make } from "../core/dom.js";
import { layMarks } from "../set/marks.js";
import { CLOSER } from "./words.js";

const percent = (v) => `${(v * 100).toFixed(3)}%`;

/** An element at a place of the frame: left, top, width, height. */
export function placed(element, [x, y, w, h]) {
  Object.assign(element.style, { left: percent(x), top: percent(y), width: percent(w), height: percent(h) });
  return element;
}

/** With one style of its own: an attribute would be refused as inline. */
function styled(element, name, value) {
  element.style[name] = value;
  return element;
}

/** A picture over the frame at a place, so strong. */
export function pictureOver(kind, src, box, share) {
  const image = make("img", { class: `laid ${kind}`, alt: "", draggable: "false", src });
  return styled(placed(image, box), "opacity", String(share));
}

/**
 * The largest place of a shape (width over height) within a frame of another, about its middle.
 * @returns {[number, number, number, number]}
 */
export function within(shape, frame) {
  const wide = Math.min(1, shape / frame), high = Math.min(1, frame / shape);
  return [(1 - wide) / 2, (1 - high) / 2, wide, high];
}

/** @param {CloserFacts} facts */
export function crops(facts) {
  return facts.crops.flatMap(({ channel, box, width_px, height_px, whole }, k) => {
    // many crops share a corner: each name has a line of its own, whatever its crop's top
    const name = make("span", { class: "crop-name" }, CLOSER.crop(channel, width_px, height_px));
    return [placed(make("div", { class: whole ? "crop" : "crop lacking" }), box),
      styled(styled(name, "left", percent(box[0])), "top", `${k * 1.6}em`)];
  });
}

export function grid() {
  return [1 / 3, 2 / 3].flatMap((v) => [
    styled(make("div", { class: "line across" }), "top", percent(v)),
    styled(make("div", { class: "line down" }), "left", percent(v))]);
}

/** The horizon as it lies in the frame, and a level line beneath it. */
export function level(roll) {
  return [make("div", { class: "line across middle dashed" }),
    styled(make("div", { class: "line across middle horizon" }), "transform", `rotate(${-roll}deg)`),
    make("span", { class: "level-said" }, CLOSER.level(roll))];
}

/** Marks over the plane's picture. @param {HTMLImageElement} image @param {SaidMark[]} marks */
export function marksOver(image, marks) {
  const svg = draw("svg", { class: "marks", "aria-hidden": "true" });
  layMarks(svg, image, marks, false);
  return svg;
}

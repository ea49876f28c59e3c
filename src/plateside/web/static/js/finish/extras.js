// Frames that are finished beside the selects: asked for, delivered or not, taken off again.
/** @import { OtherFrame, ShotFinished } from "../core/facts" */
import { make } from "../core/dom.js";
import { EXTRA } from "./words.js";

/** Shots whose other frames are open. @type {Set<string>} */
const open = new Set();

/**
 * The other frames of a shot, each a press away from being finished too; nothing when there are none.
 * @param {ShotFinished} shot
 * @param {(frame: string, use: string) => void} use
 */
export function others(shot, use) {
  if (!shot.others.length) return "";
  const box = make("details", { class: "others", open: open.has(shot.name) },
    make("summary", {}, EXTRA.others(shot.name, shot.others.length)),
    make("ul", { class: "plain" }, shot.others.map((frame) => make("li", {}, one(frame, use)))));
  box.addEventListener("toggle", () => { open[box.open ? "add" : "delete"](shot.name); });
  return box;
}

/** @type {(frame: OtherFrame, use: (frame: string, use: string) => void) => any} */
const one = (frame, use) => make("button", { type: "button", onclick: () => use(frame.id, "finished"),
  "aria-label": EXTRA.finish(frame.name) },
make("img", { src: `/frames/${frame.id}/thumb.jpg`, alt: "", loading: "lazy", width: 3, height: 2 }),
make("span", { class: "small" }, frame.name));

/**
 * What can be done with an extra frame.
 * @param {ShotFinished} shot
 * @param {(frame: string, use: string) => void} use
 */
export function ofExtra(shot, use) {
  const delivered = shot.extra === "delivered";
  return make("div", { class: "row" },
    make("button", { type: "button", "aria-pressed": String(delivered),
      onclick: () => use(shot.extra_frame, delivered ? "finished" : "delivered") }, EXTRA.deliver),
    make("button", { type: "button", class: "quiet", onclick: () => use(shot.extra_frame, "none") }, EXTRA.noMore));
}

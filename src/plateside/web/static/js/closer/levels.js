// The histogram: each channel's levels in quarters of a stop below clipping, and what room there is.
/** @import { LevelsShown } from "../core/facts" */
import { draw, make } from "../core/dom.js";
import { CLOSER } from "./words.js";

const WIDE = 300, HIGH = 96, FOOT = 18, ROOM = 8;

/**
 * @param {LevelsShown} levels
 * @param {string} which  the mask that is shown: any, red, green, blue; empty: none
 * @param {(which: string) => void} choose
 */
export function levelsCard(levels, which, choose) {
  const { counts, stops } = levels, bins = counts[0].length, step = WIDE / (bins - 1);
  // what is clipped stands apart, at its own height: a burnt window must not flatten all else
  const most = Math.max(1, ...counts.flatMap((of) => of.slice(1, -1)));
  const y = (n) => HIGH - (HIGH - 6) * Math.min(1, Math.sqrt(n / most));
  const point = (n, k) => `L${((k + 0.5) * step).toFixed(1)} ${y(n).toFixed(1)}`;
  const curve = (of) => `M0 ${HIGH}${of.slice(0, -1).map(point).join("")}L${WIDE} ${HIGH}`;
  const lines = [];
  for (let stop = 0; stop <= stops; stop += 2) {
    const x = WIDE - stop * WIDE / stops;
    lines.push(draw("path", { class: "rule", d: `M${x} 0V${HIGH}` }),
      draw("text", { x: Math.min(Math.max(x, 6), WIDE - 2), y: HIGH + FOOT - 4,
        "text-anchor": stop ? "middle" : "end" }, stop ? `−${stop}` : "0"));
  }
  const whole = counts[0].reduce((a, b) => a + b, 0) || 1;
  const full = counts.map((of, k) => {
    const high = Math.min(1, Math.sqrt(of[bins - 1] / whole / 0.02)) * (HIGH - 6);
    return draw("rect", { class: CLOSER.channels[k], x: WIDE + 3 + k * 6, y: HIGH - high, width: 5, height: high });
  });
  const curves = counts.map((of, k) => draw("path", { class: `curve ${CLOSER.channels[k]}`, d: curve(of) }));
  const picture = draw("svg", { viewBox: `-${ROOM} 0 ${WIDE + 3 * ROOM} ${HIGH + FOOT}`, role: "img",
    "aria-label": CLOSER.stops }, ...lines, ...curves, ...full);
  const press = (name, words, label) => make("button", { type: "button", "aria-pressed": String(which === name),
    "aria-label": label, onclick: () => choose(which === name ? "" : name) }, ...words);
  const channel = (name, k) =>
    press(name, [make("i", { class: name }), CLOSER.headroom(name, levels.headroom_stops[k])], CLOSER.clippedIn(name));
  return make("div", { class: "closer-card levels" }, picture,
    make("div", { class: "channels" }, press("any", [CLOSER.any], CLOSER.clippedIn("any")),
      CLOSER.channels.map(channel)),
    ...levels.said.map((words) => make("p", {}, words.replaceAll(" %", "\u00a0%"))));
}

// The small drawing beside each question: what was answered so far, to scale where it can be.
import { draw } from "../core/dom.js";
import { wind } from "./compass.js";
import { SKETCH } from "./words.js";

const INK = "#23211e", SOFT = "#635d55", HAIR = "#d9d2c7", ACCENT = "#2f6f63", SUN = "#f3c969";
/** The settings' own range of focal lengths. */
const SHORTEST_MM = 4, LONGEST_MM = 1200;
const line = (d, more = {}) => draw("path", { d, fill: "none", stroke: INK, "stroke-width": 2, "stroke-linejoin": "round", ...more });
const words = (text, x, y, more = {}) => draw("text", { x, y, "font-size": 13, "text-anchor": "middle", fill: SOFT, ...more }, text);
const metres = (value) => `${Number(value.toFixed(2))} m`;

/** The drawing for a step, and the words under it. answers hold numbers, a place, and lengths in metres. */
export function sketch(step, a) {
  if (step === "place") return sky(a);
  if (["width_m", "depth_m", "height_m", "window_width_m", "window_height_m"].some((name) => !(a[name] > 0))) return [frame(), SKETCH.noRoom];
  if (step === "window") return wall(a);
  return plan(step, a);
}

function frame(...parts) { return draw("svg", { viewBox: "0 0 420 360", role: "img", "aria-labelledby": "sketch-words" }, ...parts); }

function sky(a) {
  const ground = line("M 30 290 H 390", { stroke: SOFT });
  if (!a.place) return [frame(ground, line("M 60 290 A 150 150 0 0 1 360 290", { stroke: HAIR, "stroke-dasharray": "2 7" })), SKETCH.noPlace];
  const latitude = a.place.latitude_deg;
  const suns = [-23.44, 23.44].map((tilt, n) => [SKETCH.days[n], 90 - Math.abs(Math.abs(latitude) + tilt)]);
  const parts = suns.map(([day, high], n) => {
    if (high <= 0) return null;
    // both are seen against the same side of the sky; past the zenith they would stand behind
    const turn = high * Math.PI / 180, x = 90 + 190 * Math.cos(turn), y = 290 - 190 * Math.sin(turn);
    return [line(`M 90 290 L ${x} ${y}`, { stroke: SOFT, "stroke-width": 1.2 }), draw("circle", { cx: x, cy: y, r: n ? 13 : 17, fill: SUN, stroke: INK, "stroke-width": 1.5 }), words(`${Math.round(high)}°`, x + 40, y + 5, { fill: INK, "font-size": 15 })];
  });
  const told = suns.map(([day, high]) => SKETCH.sun(Math.round(high), day)).join(", ");
  return [frame(ground, line("M 90 290 m 190 0 A 190 190 0 0 0 90 100", { stroke: HAIR }), ...parts.flat(), line("M 90 290 m -9 0 v -26 h 18 v 26", { fill: "#fffdf9" })), SKETCH.noon(a.place.name, told)];
}

function wall(a) {
  // a window that is too large for its wall is drawn whole as well: that is what is to be seen
  const from = Math.min(0, windowLeft(a)), to = Math.max(a.width_m, windowLeft(a) + a.window_width_m), top0 = Math.max(a.height_m, a.sill_m + a.window_height_m);
  const s = Math.min(340 / (to - from), 270 / top0), x0 = (420 - (to + from) * s) / 2, floor = 315;
  const left = x0 + windowLeft(a) * s, top = floor - (a.sill_m + a.window_height_m) * s, w = a.window_width_m * s, h = a.window_height_m * s;
  const high = floor - a.height_m * s;
  const out = a.sill_m + a.window_height_m > a.height_m || windowLeft(a) + a.window_width_m > a.width_m + 1e-9 || windowLeft(a) < 0;
  return [frame(
    draw("rect", { x: x0, y: high, width: a.width_m * s, height: a.height_m * s, fill: "#fffdf9", stroke: INK, "stroke-width": 2 }),
    draw("rect", { x: left, y: top, width: w, height: h, fill: SUN, "fill-opacity": 0.4, stroke: ACCENT, "stroke-width": 3 }),
    line(`M ${left + w / 2} ${top} V ${top + h} M ${left} ${top + h / 2} H ${left + w}`, { stroke: ACCENT, "stroke-width": 1.2 }),
    line(`M ${left + w / 2} ${top + h} V ${floor}`, { stroke: SOFT, "stroke-width": 1, "stroke-dasharray": "3 3" }),
    words(metres(a.sill_m), left + w / 2 + 30, floor - a.sill_m * s / 2 + 5), words(metres(a.window_width_m), left + w / 2, top - 9), words(metres(a.window_height_m), left + w + 32, top + h / 2 + 5),
    words(metres(a.width_m), x0 + a.width_m * s / 2, floor + 24)), out ? SKETCH.tooLarge : SKETCH.wall];
}

export const windowLeft = (a) => (a.window_from_left_m === null ? (a.width_m - a.window_width_m) / 2 : a.window_from_left_m);

function plan(step, a) {
  const s = Math.min(300 / a.width_m, 235 / a.depth_m), x0 = (420 - a.width_m * s) / 2, y0 = 62;
  const left = x0 + windowLeft(a) * s, middle = left + a.window_width_m * s / 2;
  const dishX = x0 + (a.table_from_left_m === null ? windowLeft(a) + a.window_width_m / 2 : a.table_from_left_m) * s, dishY = y0 + a.table_from_window_m * s;
  // on the side of the table where there is room: its edge must not run through the number
  const besideTable = () => { const right = dishX + 0.5 * s + 52 < x0 + a.width_m * s; return words(metres(a.table_from_window_m), dishX + (right ? 0.5 * s + 8 : -0.5 * s - 8), (y0 + dishY) / 2 + 5, { "text-anchor": right ? "start" : "end" }); };
  const parts = [draw("rect", { x: x0, y: y0, width: a.width_m * s, height: a.depth_m * s, fill: "#fffdf9", stroke: INK, "stroke-width": 3 })];
  parts.push(draw("path", { d: `M ${left} ${y0} H ${left + a.window_width_m * s} L ${dishX + 60} ${dishY + 40} H ${dishX - 60} Z`, fill: SUN, "fill-opacity": step === "room" ? 0 : 0.25 }));
  parts.push(line(`M ${left} ${y0} h ${a.window_width_m * s}`, { stroke: ACCENT, "stroke-width": 7 }));
  parts.push(line(`M ${middle} ${y0 - 6} V 24 M ${middle - 7} 33 L ${middle} 23 L ${middle + 7} 33`, { stroke: ACCENT }), words(`${wind(a.facing_deg)}, ${Number(a.facing_deg.toFixed(1))}°`, middle, 14, { fill: INK }));
  if (step !== "facing") parts.push(words(metres(a.width_m), 210, y0 + a.depth_m * s + 24), words(metres(a.depth_m), x0 + a.width_m * s + 10, y0 + a.depth_m * s / 2, { "text-anchor": "start" }));
  if (["table", "camera", "shoot"].includes(step)) {
    parts.push(draw("rect", { x: dishX - 0.5 * s, y: Math.max(y0, dishY - 0.4 * s), width: s, height: 0.8 * s, fill: "#faf7f2", stroke: INK, "stroke-width": 1.5 }));
    parts.push(draw("circle", { cx: dishX, cy: dishY, r: 0.13 * s, fill: "#fffdf9", stroke: INK, "stroke-width": 1.5 }));
    if (step === "table") parts.push(line(`M ${dishX} ${y0} V ${dishY}`, { stroke: SOFT, "stroke-width": 1, "stroke-dasharray": "3 3" }), besideTable());
  }
  let told = { facing: SKETCH.facing(a.place), room: SKETCH.room, table: SKETCH.table, shoot: SKETCH.shoot }[step] || "";
  if (step === "camera" && !(a.focal_mm >= SHORTEST_MM && a.focal_mm <= LONGEST_MM)) told = SKETCH.noFocal(SHORTEST_MM, LONGEST_MM);
  else if (step === "camera") {
    const wide = { "aps-c": 23.5, "full-frame": 36, "four-thirds": 17.3, "one-inch": 13.2 }[a.sensor] || 23.5;
    const half = Math.atan(wide / 2 / a.focal_mm), away = 0.75 * s, x = dishX - away;
    parts.push(draw("path", { d: `M ${x} ${dishY} L ${x + away * 1.35} ${dishY - Math.tan(half) * away * 1.35} V ${dishY + Math.tan(half) * away * 1.35} Z`, fill: ACCENT, "fill-opacity": 0.14, stroke: ACCENT, "stroke-width": 1 }), draw("rect", { x: x - 15, y: dishY - 9, width: 15, height: 18, rx: 2, fill: INK }));
    told = SKETCH.lens(a.focal_to_mm ? a.focal_mm : null, Math.round(half * 360 / Math.PI), Math.round(200 * Math.tan(half) * 0.75));
  }
  return [frame(...parts), told];
}

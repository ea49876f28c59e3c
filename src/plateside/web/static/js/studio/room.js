// The room's geometry as the model tells it: x to the right along the front wall, y away from it, in metres.
/** @import { Studio, Window } from "../core/facts" */
export const WALLS = ["front", "right", "back", "left"];
const turn = (deg) => ((deg % 360) + 360) % 360;
/** To the centimetre. */
export const cm = (metres) => Math.round(metres * 100) / 100;
export const within = (value, low, high) => Math.min(Math.max(value, low), Math.max(low, high));

/** @type {(studio: Studio) => number} */
export const frontBearing = (studio) => studio.room.front_bearing_deg ?? studio.windows[0]?.bearing_deg ?? 0;
/** @type {(studio: Studio, window: Window) => string} */
export const wallOf = (studio, window) =>
  WALLS[Math.round(turn(window.bearing_deg - frontBearing(studio)) / 90) % 4];
/** @type {(studio: Studio, wall: string) => number} */
export const wallLength = (studio, wall) =>
  (wall === "front" || wall === "back" ? studio.room.width_m : studio.room.depth_m);
/** @type {(studio: Studio, window: Window) => number} */
export const leftEdge = (studio, window) => window.from_left_m
  ?? (wallLength(studio, wallOf(studio, window)) - window.width_m) / 2;
/** @type {(studio: Studio, wall: string) => number} */
export const wallBearing = (studio, wall) => turn(frontBearing(studio) + 90 * WALLS.indexOf(wall));
export { turn };

/**
 * From a wall's left end (seen from inside) along it, to x and y.
 * @param {Studio} studio
 * @param {string} wall
 * @param {number} along
 */
export function onWall(studio, wall, along) {
  const { width_m: w, depth_m: d } = studio.room;
  return { front: [along, 0], right: [w, along], back: [w - along, d], left: [0, d - along] }[wall];
}

/** A step in x and y as a step along a wall, from its left end. */
export const alongWall = (wall, dx, dy) => ({ front: dx, right: dy, back: -dx, left: -dy })[wall];
/**
 * The stretches of a wall without a window: [from, to] from its left end.
 * @param {Studio} studio
 * @param {string} wall
 */
function stretches(studio, wall) {
  const taken = studio.windows.filter((w) => wallOf(studio, w) === wall)
    .map((w) => [leftEdge(studio, w), leftEdge(studio, w) + w.width_m]).sort((a, b) => a[0] - b[0]);
  const free = [];
  let from = 0;
  for (const [left, right] of [...taken, [wallLength(studio, wall), 0]]) {
    free.push([from, left]);
    from = Math.max(from, right);
  }
  return free;
}

/**
 * The first free stretch of a wall that is at least that long.
 * @param {Studio} studio
 * @param {number} length
 * @returns {[string, number] | null} the wall, and how far from its left end [m]
 */
export function freeStretch(studio, length) {
  for (const wall of WALLS) {
    const free = stretches(studio, wall).find(([from, to]) => to - from >= length);
    if (free) return [wall, cm(free[0] + (free[1] - free[0] - length) / 2)];
  }
  return null;
}

/** The thing at a path, or undefined. */
export const thingAt = (studio, path) => path.reduce((thing, part) => thing?.[part], studio);
export const same = (a, b) => a !== null && b !== null
  && a.length === b.length && a.every((part, n) => part === b[n]);
/** Where a thing is once another one was taken out of its list: a path, or null when it was that one. */
export function afterTaking(gone, at) {
  const n = gone.length - 1;
  if (at.length <= n || !same(gone.slice(0, n), at.slice(0, n)) || at[n] < gone[n]) return at;
  return at[n] === gone[n] ? null : [...at.slice(0, n), at[n] - 1, ...at.slice(n + 1)];
}
/** A path as the name of its table: ["windows", 0, "opposite", 1] is "windows.opposite". */
export const tableOf = (path) => path.filter((part) => typeof part === "string").join(".");

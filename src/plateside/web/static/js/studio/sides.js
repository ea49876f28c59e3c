// The sides of a dish as its camera looks at it, and where one more board serves best.
import { leftEdge, onWall, wallOf } from "./room.js";

/** Turn from the camera's look to each side, clockwise from above [deg]: as plan/beside.py. */
export const SIDES = { far: 0, right: 90, near: 180, left: 270 };
/** Of a board from its dish [m]. */
export const NEAREST = 0.05, FARTHEST = 3;
const USUAL = 0.4;

/** The step to a bearing, along the width and the depth of the plan. */
export const towards = (deg) => { const a = (deg * Math.PI) / 180; return [Math.sin(a), -Math.cos(a)]; };

/**
 * The sides of a dish, the one farthest from the largest window first: there a board fills. Before the
 * camera comes last.
 */
function inTurn(studio, spot, shot) {
  const dish = [spot.from_left_m, spot.from_front_m];
  const window = studio.windows.reduce((best, each) =>
    (!best || each.width_m * each.height_m > best.width_m * best.height_m ? each : best), null);
  const at = window
    ? onWall(studio, wallOf(studio, window), leftEdge(studio, window) + window.width_m / 2) : dish;
  const toWindow = (side) => {
    const away = towards(shot.camera_faces_deg + SIDES[side]);
    return away[0] * (at[0] - dish[0]) + away[1] * (at[1] - dish[1])
      + (side === "near" && shot.angle !== "overhead" ? 100 : 0);
  };
  return ["right", "left", "far", "near"].sort((one, other) => toWindow(one) - toWindow(other));
}

/** A board for the side that is still free; a pale one fills, a black one is meant, and chosen. */
export function oneMore(studio, spot, shot) {
  const taken = new Set(shot.boards.map((each) => each.side)),
    used = new Set(shot.boards.map((each) => each.board)),
    sides = inTurn(studio, spot, shot), side = sides.find((each) => !taken.has(each)) ?? sides[0],
    pale = [...studio.boards].sort((one, other) => mean(other.reflectance) - mean(one.reflectance)),
    board = pale.find((each) => !used.has(each.name)) ?? pale[0];
  return { board: board.name, side, distance_m: USUAL };
}

const mean = (reflectance) =>
  (Array.isArray(reflectance) ? reflectance.reduce((sum, each) => sum + each, 0) / reflectance.length
  : reflectance);

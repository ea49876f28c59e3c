// What a new thing begins with: the model's own examples, in a place where there is room.
import { cm, frontBearing, freeStretch, turn, wallBearing, wallOf } from "./room.js";
import { NEW } from "./words.js";

const LISTS = { opposite: "windows.opposite" };

/** A name that nothing in the list has yet. */
function freeName(list, wish) {
  const taken = new Set(list.map((each) => each.name));
  for (let n = 1; ; n += 1) {
    const name = n === 1 ? wish : `${wish} ${n}`;
    if (!taken.has(name)) return name;
  }
}

const WISH = { windows: "window", spots: "table spot", furniture: "cupboard", diffusers: "diffuser",
  boards: "white board", cameras: "camera", lenses: "lens",
  supports: "tripod", surfaces: "tabletop", props: "plate", opposite: "house opposite" };

/** {list, item, first} to be added, or why it cannot be, in words. */
export function newThing(studio, tables, kind, path) {
  const { room } = studio, item = {};
  for (const field of tables[LISTS[kind] || kind]) if (field.required) item[field.name] = field.example_value;
  if (kind !== "readings" && kind !== "opposite") item.name = freeName(studio[kind], WISH[kind]);
  switch (kind) {
    case "windows": return newWindow(studio, item);
    case "spots": Object.assign(item,
      { from_left_m: cm(room.width_m / 2),
      from_front_m: cm(Math.min(room.depth_m / 2, 0.8 + 0.4 * (studio.spots.length % 4))) }); break;
    case "furniture": Object.assign(item,
      { width_m: 0.6, depth_m: 0.6, height_m: Math.min(0.9, room.height_m),
      from_left_m: cm(Math.max(0, room.width_m - 0.6)), from_front_m: cm(Math.max(0, room.depth_m - 0.6)) });
      break;
    case "opposite": {
      if (!studio.windows.length) return NEW.noWindow;
      const n = path[0] === "windows" ? path[1] : 0, w = studio.windows[n];
      Object.assign(item, { name: "house opposite",
        bearing_from_deg: Math.round(turn(w.bearing_deg - 30)) % 360,
        bearing_to_deg: Math.round(turn(w.bearing_deg + 30)) % 360 });
      return { list: ["windows", n, "opposite"], item };
    }
    case "readings":
      if (!studio.spots.length) return NEW.noSpot;
      Object.assign(item, { at: new Date(Date.now() - new Date().getTimezoneOffset() * 60000)
        .toISOString().slice(0, 16), spot: studio.spots[path[0] === "spots" ? path[1] : 0].name });
      break;
  }
  return { list: [kind], item };
}

function newWindow(studio, item) {
  const stretch = freeStretch(studio, 1.2) || freeStretch(studio, 0.6);
  if (!stretch) return NEW.noWall;
  const [wall, left] = stretch, width = freeStretch(studio, 1.2) ? 1.0 : 0.5;
  const bearing = studio.windows.length ? wallBearing(studio, wall) : frontBearing(studio);
  const name = freeName(studio.windows, `${wall} window`);
  return { list: ["windows"], item: { ...item, name, bearing_deg: Number(bearing.toFixed(1)), width_m: width,
    height_m: Math.min(1.2, studio.room.height_m - 0.9), sill_m: 0.85, from_left_m: cm(left + 0.1) } };
}

/**
 * The changes that put a window into another wall. The room stays as it stands, also when it was told by this
 * window.
 */
export function toWall(studio, n, wall) {
  const window = studio.windows[n], front = frontBearing(studio),
    bearing = Number(wallBearing(studio, wall).toFixed(1));
  if (wall === wallOf(studio, window)) return [];
  const changes = [{ put: ["windows", n, "bearing_deg"], value: bearing },
    { put: ["windows", n, "from_left_m"], value: null }];
  if (n === 0 && studio.room.front_bearing_deg === null) changes.unshift(
    { put: ["room", "front_bearing_deg"], value: front });
  return changes;
}

/** The changes that turn the whole room, with all its windows, by so many degrees. */
export function turned(studio, to) {
  const by = to - frontBearing(studio), turnedTo = (deg) => Number(turn(deg + by).toFixed(1));
  const changes = studio.windows.map((w, n) =>
    ({ put: ["windows", n, "bearing_deg"], value: turnedTo(w.bearing_deg) }));
  if (studio.room.front_bearing_deg !== null || !studio.windows.length) changes.push(
    { put: ["room", "front_bearing_deg"], value: Number(turn(to).toFixed(1)) });
  return changes;
}



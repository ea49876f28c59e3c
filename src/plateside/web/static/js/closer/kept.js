// What this device keeps of the close look: what is laid over each shot's frames, and how bright its room is.
const TOOLS = "plateside.closer.tools", ROOM = "plateside.closer.room", MOST = 60;
/** Of the whole page's mean luminance, by the room. */
const LIGHT = { dark: 0.05, lit: 0.2 }, LEAST = { dark: 0.3, lit: 0.55 };
const GAMMA = 2.2;

function read(name) {
  try { return JSON.parse(localStorage.getItem(name) ?? "{}") || {}; } catch { return {}; }
}

/** @returns {Record<string, any>} */
export const keptTools = (shoot, shot) => read(TOOLS)[`${shoot} ${shot}`] || {};

export function keepTools(shoot, shot, tools) {
  const key = `${shoot} ${shot}`;
  const others = Object.entries(read(TOOLS)).filter(([name]) => name !== key).slice(-MOST);
  const all = Object.fromEntries([...others, [key, tools]]);
  try { localStorage.setItem(TOOLS, JSON.stringify(all)); } catch { /* for now only */ }
}

/** dark or lit. */
export const keptRoom = () => (read(ROOM).is === "lit" ? "lit" : "dark");

export function keepRoom(room) {
  try { localStorage.setItem(ROOM, JSON.stringify({ is: room })); } catch { /* for now only */ }
}

/**
 * How much a frame is darkened (1: not at all; encoded), so that the screen is no lamp in this room.
 * light: the frame's mean luminance; share: of the screen that it fills.
 */
export function darkened(room, light, share) {
  const dim = (LIGHT[room] / (Math.max(share, 0.05) * Math.max(light, 0.01))) ** (1 / GAMMA);
  return Math.min(1, Math.max(LEAST[room], dim));
}

export const stopsDarker = (dim) => -GAMMA * Math.log2(dim);

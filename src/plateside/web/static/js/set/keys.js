// The four presses by key: a foot pedal is a keyboard with few keys. Acts when the key is let go; kept on
// this device.
import { plain, undoes } from "../core/keys.js";

const KEPT = "plateside.set.keys";
const FIRST = {
  keep: ["PageDown", "ArrowRight", "k"], again: ["PageUp", "ArrowLeft", "a"],
  undo: ["Backspace"], next: ["Enter"],
};

export function keysNow() {
  try { return { ...FIRST, ...JSON.parse(localStorage.getItem(KEPT) ?? "null") }; } catch { return { ...FIRST }; }
}

export function firstKeys() {
  try { localStorage.removeItem(KEPT); } catch { /* nothing kept */ }
}

/** Give a key to a press; it is taken from the others. */
export function giveKey(press, key) {
  const now = keysNow();
  for (const name of Object.keys(now)) now[name] = now[name].filter((k) => k !== key);
  now[press] = [key];
  try { localStorage.setItem(KEPT, JSON.stringify(now)); } catch { /* for now only */ }
}

const NAMES = { ArrowRight: "→", ArrowLeft: "←",
  ArrowUp: "↑", ArrowDown: "↓", PageDown: "Page down", PageUp: "Page up", " ": "Space" };
export const keyName = (key) => NAMES[key] || (key.length === 1 ? key.toUpperCase() : key);

const same = (event) => (event.key.length === 1 ? event.key.toLowerCase() : event.key);

/** The press that a key is for, when nothing else on the page has a better claim to it. */
function pressOf(event, busy) {
  if (busy()) return null;
  const key = same(event), at = document.activeElement;
  if (!plain(event)) return undoes(event) && !at?.matches("input, select, textarea") ? "undo" : null;
  // who walks the page by Tab means the control that has the focus
  if ((key === "Enter" || key === " ") && at?.matches("button, a, summary")) return null;
  if (at?.matches("input, select, textarea")) return null;
  return Object.entries(keysNow()).find(([, keys]) => keys.includes(key))?.[0] || null;
}

/** Call act(press) when a key is let go; busy() is true while a sheet lies over the page. */
export function listen(act, busy) {
  const down = new Set();
  addEventListener("keydown", (event) => {
    const press = pressOf(event, busy);
    if (!press) return;
    event.preventDefault();
    if (!event.repeat) down.add(event.key);
  });
  addEventListener("keyup", (event) => {
    if (!down.delete(event.key)) return;
    const press = pressOf(event, busy);
    if (press) act(press);
  });
  addEventListener("blur", () => down.clear());
}

/** The next key that is pressed, or null for Escape. */
export function nextKey() {
  return new Promise((resolve) => {
    const take = (event) => {
      event.preventDefault();
      event.stopPropagation();
      removeEventListener("keydown", take, true);
      resolve(event.key === "Escape" ? null : same(event));
    };
    addEventListener("keydown", take, true);
  });
}

// Short sounds beside the word, never instead of it: three for states, one for a press that was taken. A
// browser lets a page sound only after a press.
const NAMES = ["good", "change", "light", "taken"], KEPT = "plateside.set.mute", LATE_MS = 1500;
let context = null;
const loaded = new Map();

export const played = [];

export function muted() {
  try { return localStorage.getItem(KEPT) === "yes"; } catch { return false; }
}

export function mute(yes) {
  try { localStorage.setItem(KEPT, yes ? "yes" : "no"); } catch { /* for now only */ }
}

/** Whether a press has made sound possible. */
export const unlocked = () => context?.state === "running";

/** Whether every sound is here. */
export const ready = () => loaded.size === NAMES.length;

/** Called from a press; what failed is tried again with the next one. */
export async function unlock() {
  if (unlocked() && ready()) return;
  context ||= new AudioContext();
  await context.resume();
  await Promise.all(NAMES.map(async (name) => {
    if (loaded.has(name)) return;
    const file = await fetch(new URL(`../../sounds/${name}.wav`, import.meta.url));
    if (file.ok) loaded.set(name, await context.decodeAudioData(await file.arrayBuffer()));
  }));
}

/** Resolves when it sounds again, or will not within its time. */
const resumed = (silent) => Promise.race([silent.resume().catch(() => {}),
  new Promise((/** @type {(value?: undefined) => void} */ over) => setTimeout(over, LATE_MS))]);

/** One that cannot be resumed may have lost its output for good: another takes its place, if it can sound. */
async function renew(silent) {
  const other = new AudioContext();
  await resumed(other);
  const isBetter = other.state === "running" && context === silent && !unlocked();
  if (isBetter) context = other;
  (isBetter ? silent : other).close().catch(() => {});
}

/** Sound one of good, change, light, taken; whether it sounds. */
export async function sound(name) {
  if (muted() || !context || !loaded.has(name)) return false;
  if (!unlocked()) {
    // a call, a lock or a failing output has silenced it since the first press; late, it would mislead
    const asked = Date.now(), silent = context;
    await resumed(silent);
    if (!unlocked()) renew(silent);
    if (!unlocked() || Date.now() - asked > LATE_MS) return false;
  }
  const source = context.createBufferSource();
  source.buffer = loaded.get(name);
  source.connect(context.destination);
  source.start();
  played.push(name);
  return true;
}

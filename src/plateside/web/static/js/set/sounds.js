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
    const file = await fetch(`/static/sounds/${name}.wav`);
    if (file.ok) loaded.set(name, await context.decodeAudioData(await file.arrayBuffer()));
  }));
}

/** Sound one of good, change, light, taken; whether it sounds. */
export async function sound(name) {
  if (muted() || !context || !loaded.has(name)) return false;
  if (!unlocked()) {
    // a call, a lock or a failing output has silenced it since the first press; late, it would mislead
    const asked = Date.now();
    await context.resume().catch(() => {});
    if (!unlocked() || Date.now() - asked > LATE_MS) return false;
  }
  const source = context.createBufferSource();
  source.buffer = loaded.get(name);
  source.connect(context.destination);
  source.start();
  played.push(name);
  return true;
}

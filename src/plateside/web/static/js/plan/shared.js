// What shots of one dish on one set have in common: a new shot takes it over, and a change of it in one shot
// is offered to the others.
import { say } from "../core/say.js";
import { SAID } from "./words.js";

const SHARED = ["dish_width_mm", "dish_height_mm", "stand_in", "glossy",
  "spot", "surface", "props", "background_gap_mm"];
const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);

/** What a shot added to these takes over from the last of them. */
export function ofThisSet(shots) {
  const last = shots.at(-1);
  return last ? Object.fromEntries(SHARED.map((name) => [name, last[name]])) : {};
}

/**
 * After one shot's field was saved: other shots that had the same before are named, and one press changes
 * them too.
 *   before  the shots as they were; change  {put: ["shots", n, field], value}
 *   label   what the page calls the field; value()  the shoot as it now is; save(changes)
 */
export function offerToOthers(before, change, { label, value, save }) {
  const [list, number, name, ...deeper] = change.put ?? [];
  if (list !== "shots" || deeper.length || !SHARED.includes(name)) return;
  const old = before[number]?.[name];
  const others = before.filter((shot, n) => n !== number && same(shot[name], old)).map((shot) => shot.name);
  if (!others.length || same(old, change.value)) return;
  say(SAID.othersToo(label(name), others), { words: SAID.changeThem(others.length),
    do: () => save(() => value().shots.flatMap((shot, n) =>
      (others.includes(shot.name) && same(shot[name], old)
        ? [{ put: ["shots", n, name], value: change.value }] : []))) }, 15000);
}

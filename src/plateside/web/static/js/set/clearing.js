// Before the set is cleared: what each shot has, what still needs the dish, the kept frames side by side.
/** @import { ClearingShown, ShotCleared } from "../core/facts" */
import { ask } from "../core/ask.js";
import { make, one } from "../core/dom.js";
import { newest } from "../core/latest.js";
import { CLEARING, spoken } from "./words.js";

const box = one("#clearing"), head = one("#clearing-head"), series = one("#clearing-series"), shots = one("#clearing-shots");

const asked = newest();

/** Open it, and ask what is so now. */
export async function openClearing() {
  const isNewest = asked();
  head.textContent = CLEARING.looking;
  series.replaceChildren();
  shots.replaceChildren();
  if (!box.open) box.showModal();
  try {
    /** @type {ClearingShown} */
    const found = await ask("/set/clearing");
    if (!isNewest()) return;
    head.textContent = found.head;
    series.replaceChildren(...found.shots.filter((shot) => shot.frame).map(framed));
    shots.replaceChildren(...found.shots.map(told));
  } catch (error) { if (isNewest()) head.textContent = error.message; }
}

/** @param {ShotCleared} shot */
const framed = (shot) => make("li", {}, make("img", { alt: spoken(shot.name), src: `/frames/${shot.frame}/thumb.jpg` }),
  make("span", {}, spoken(shot.name)));

/** @param {ShotCleared} shot */
const told = (shot) => make("li", { class: shot.complete ? "" : "lacks" },
  make("h3", {}, spoken(shot.name), make("span", { class: "state-of" }, CLEARING.state(shot))),
  make("ul", { class: "plain" }, shot.lines.map((words) => make("li", {}, words))));

one("#clearing-back").addEventListener("click", () => box.close());

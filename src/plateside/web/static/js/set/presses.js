// The four presses: each is written down once, of the frame that stood there when the hand came down.
/** @import { SetScreen } from "../core/facts" */
import { all, one } from "../core/dom.js";
import { press as writeDown, takeBack } from "../core/press.js";
import { say } from "../core/say.js";
import { openClearing } from "./clearing.js";
import { sound } from "./sounds.js";
import { begun, stillToKeep } from "./state.js";
import { ABOUT, PRESS, spoken } from "./words.js";

const PRESSED_MS = 350, OF = { keep: "kept", again: "again" };

/** Whether the screen speaks of a frame of a shot. @param {SetScreen} now */
const isPicture = (now) => begun(now) && now.frame && !now.frame.chart;

/** What a press writes, or why it cannot. @type {Record<string, (now: SetScreen) => any[]>} */
const PRESSES = {
  keep: (now) => [isPicture(now) && ["kept", { frame: now.frame?.id }], now.frame?.chart ? PRESS.chart : PRESS.nothingToKeep],
  again: (now) => [isPicture(now) && ["again", { frame: now.frame?.id }], now.frame?.chart ? PRESS.chart : PRESS.noFrame],
  undo: (now) => [now.undo && ["undo"], PRESS.nothingToTakeBack],
  next: (now) => [now.next_shot && ["shot current", { shot: now.next_shot }], PRESS.onlyThese(stillToKeep(now))],
};
const button = (name) => one(`[data-press="${name}"]`);

export class Presses {
  #busy = "";
  /** What the screen spoke of when the hand came down. @type {{frame: string, current: string} | null} */
  #atDown = null;
  /** @type {{name: string, shown: any} | null} */
  #after = null;

  /** about: now() what the page knows, lost() whether nobody hears what is pressed, refresh() afterwards. */
  constructor(about) {
    this.about = about;
    for (const each of all("[data-press]")) {
      each.addEventListener("click", (event) => {
        // a finger leaves no focus behind: the pedal's key would press the same again
        if (event.detail) each.blur();
        this.press(each.dataset.press);
        // a press without a hand, as a screen reader makes it, is about what stands there by then
        this.#atDown = null;
      });
    }
    const down = () => {
      const { frame, current } = about.now();
      this.#atDown = { frame: frame?.id || "", current };
    };
    addEventListener("pointerdown", down, true);
    addEventListener("keydown", (event) => { if (!event.repeat) down(); }, true);
  }

  draw() {
    const now = this.about.now(), picture = isPicture(now), lost = this.about.lost();
    for (const each of all("[data-press]")) {
      const name = each.dataset.press;
      const can = !lost && { keep: picture, again: picture,
        undo: now.undo, next: now.next_shot || !now.left }[name];
      each.setAttribute("aria-disabled", String(!can));
      if (name === "next") {
        const words = ABOUT.presses[now.left || now.next_shot ? "next" : "clear"];
        if (each.textContent !== words) each.textContent = words;
      }
      // what you said of this frame stays to be seen on the press itself
      const holds = !lost && picture && now.frame?.pressed === OF[name];
      if (OF[name]) each.setAttribute("aria-pressed", String(holds));
    }
  }

  /** The same again while a press is under way is a double touch; another one is meant and waits its turn. */
  async press(name) {
    if (this.#busy) { if (name !== this.#busy) this.#after = { name, shown: this.#atDown }; return; }
    say("");
    const now = this.about.now(), request = this.#request(name, now);
    if (!request) return;
    this.#busy = name;
    button(name).classList.add("taken");
    const start = Date.now();
    try {
      const what = spoken(now.undo);
      await (name === "undo" ? takeBack(now.row) : writeDown(...request, now.row));
      sound("taken");
      if (name === "undo") say(PRESS.takenBack(what), null, 3000);
    } catch (error) {
      say(error.message, null, 9000);
    }
    await this.about.refresh();
    setTimeout(() => this.#next(name), Math.max(0, PRESSED_MS - (Date.now() - start)));
  }

  /** What is to be written, or null: then it is said why, or done. @param {SetScreen} now */
  #request(name, now) {
    if (this.about.lost()) { say(PRESS.lost); return null; }
    // the last Keep is made: what is there is looked through before the set is cleared, and leads to Choose
    if (name === "next" && !now.left && now.shots.length) { openClearing(); return null; }
    const [request, cannot] = PRESSES[name](now);
    if (!request) { say(cannot); return null; }
    const seen = this.#atDown;
    if (OF[name] && seen?.frame && seen.frame !== now.frame?.id) { say(PRESS.newFrame); return null; }
    // a second touch that came down before the shot changed would pass over a shot that was not seen
    if (name === "next" && seen && seen.current !== now.current) { say(PRESS.newShot); return null; }
    // a second row would say nothing, and Undo would then seem to do nothing
    if (OF[name] && now.frame?.pressed === OF[name]) {
      say(name === "keep" ? PRESS.keptAlready : PRESS.againAlready);
      return null;
    }
    return request;
  }

  #next(done) {
    this.#busy = "";
    button(done).classList.remove("taken");
    const after = this.#after;
    if (!after) return;
    this.#after = null;
    this.#atDown = after.shown;
    this.press(after.name);
  }
}

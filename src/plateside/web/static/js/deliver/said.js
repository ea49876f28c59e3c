// What was done, said beside it: the line at the foot of the page would lie over the words that are being
// written.
import { make } from "../core/dom.js";
import { whenLetGo } from "../core/hold.js";

const LONG_MS = 12000;

/** A place for one sentence and one press; it empties itself. */
export class Said {
  constructor() {
    this.element = make("p", { class: "small said-here", role: "status" });
    this.timer = 0;
  }

  /** @param {string} words @param {{words: string, do: () => unknown} | null} action */
  say(words, action = null) {
    clearTimeout(this.timer);
    this.element.replaceChildren(words,
      ...(action ? [" ", make("button", { type: "button", class: "quiet", onclick: () => {
      this.element.replaceChildren();
      action.do();
    } }, action.words)] : []));
    // while a finger or the keys are on it, it stays
    const empty = () => {
      if (this.element.contains(document.activeElement)) this.timer = setTimeout(empty, 2000);
      else whenLetGo(() => this.element.replaceChildren());
    };
    this.timer = setTimeout(empty, LONG_MS);
  }
}

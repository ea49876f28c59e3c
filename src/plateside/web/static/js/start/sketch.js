// The small drawing beside each question: the server draws what was answered so far.
/** @import { Sketched } from "../core/facts" */
import { tell } from "../core/ask.js";
import { drawing, one } from "../core/dom.js";
import { latest } from "../core/latest.js";

let turn = 0;

const drawn = latest(async (mine, step, answers) => {
  /** @type {Sketched} */
  let found;
  try {
    found = await tell("/start/sketch", { ...answers, step });
  } catch { return; /* the question itself says what is wrong */ }
  if (mine !== turn) return;
  one("#sketch").replaceChildren(drawing(found.svg));
  one("#sketch-words").textContent = found.words;
});

/** Draw the answers for a question, with the words under it; only the newest answers are shown. */
export function sketch(step, answers) { drawn(++turn, step, answers); }

/** What is drawn is no longer true: it goes at once. */
export function takeAway() {
  turn += 1;
  one("#sketch-words").textContent = "";
  one("#sketch").querySelector("svg")?.replaceChildren();
}

// The switch for the lenses of the series, and what holds for all of them.
/** @import { FinishShown } from "../core/facts" */
import { one } from "../core/dom.js";
import { press, takeBack } from "../core/press.js";
import { say, trying } from "../core/say.js";
import { SAID } from "./words.js";

/** Follow the switch. @param {() => FinishShown} reply @param {() => void} changed */
export function lensSwitch(reply, changed) {
  one("#lens").addEventListener("change", () => trying(async () => {
    const done = await press("lens", { use: one("#lens").checked ? "on" : "off" }, reply().row);
    say(done.said, { words: SAID.undo, do: () => trying(async () => {
      await takeBack(done.row);
      changed();
    }) });
    changed();
  }));
}

/** @param {FinishShown} reply */
export function drawLens(reply) {
  one("#lens").checked = reply.lens !== "off";
  one("#lens-said").textContent = reply.lens_said;
}

// The switch for the lenses of the series, what holds for all of them, and a lens that may be one of several.
/** @import { FinishShown } from "../core/facts" */
import { make, one } from "../core/dom.js";
import { press, takeBack } from "../core/press.js";
import { say, trying } from "../core/say.js";
import { LENS, SAID } from "./words.js";

/** Follow the switch and the choice. @param {() => FinishShown} reply @param {() => void} changed */
export function lensSwitch(reply, changed) {
  const use = (name) => trying(async () => {
    const done = await press("lens", { use: name }, reply().row);
    say(done.said, { words: SAID.undo, do: () => trying(async () => {
      await takeBack(done.row);
      changed();
    }) });
    changed();
  });
  one("#lens").addEventListener("change", () => use(one("#lens").checked ? "on" : "off"));
  one("#lens-which").addEventListener("change", () => use(one("#lens-which").value));
}

/** @param {FinishShown} reply */
export function drawLens(reply) {
  one("#lens").checked = reply.lens !== "off";
  one("#lens-said").textContent = reply.lens_said;
  one("#lens-ask").hidden = !reply.lens_choice.length;
  const which = one("#lens-which"), names = ["on", ...reply.lens_choice];
  if ([...which.options].map((option) => option.value).join("\n") !== names.join("\n")) {
    which.replaceChildren(...names.map((name) => make("option", { value: name }, name === "on" ? LENS.none : name)));
  }
  which.value = reply.lens_mine || "on";
}

// What is set here, minimum, shadows and sun, as what Plan looks for.
import { tell } from "../core/ask.js";
import { one } from "../core/dom.js";
import { say, trying } from "../core/say.js";
import { SAID } from "./words.js";

/** The button stands there as long as something is set; `choices()` gives what is. */
export function toPlan(choices) {
  const place = one("#to-plan");
  const show = () => {
    const set = choices(), [kind, ...name] = (set.get("for") ?? "").split(":");
    place.hidden = !kind || !["lux", "fill", "sun"].some((each) => set.has(each));
    one("#to-plan-for").textContent = SAID.forShots(kind, name.join(":"));
  };
  one("button", place).addEventListener("click", () => trying(async () => {
    const { shots } = await tell("/light/plan", Object.fromEntries(choices()));
    say(SAID.planned(shots), { words: SAID.toPlan, do: () => location.assign("/plan") }, 12000);
  }));
  show();
  return show;
}

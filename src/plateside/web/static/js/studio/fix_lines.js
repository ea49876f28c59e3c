// A settings file put right line by line: after each line the page shows what is left.
/** @import { LinesLeft, ToFix } from "../core/facts" */
import { tell } from "../core/ask.js";
import { all, given } from "../core/dom.js";
import { say } from "../core/say.js";
import { SAID } from "./words.js";

/** @type {ToFix} */
const { which, version } = given("given");
for (const form of all("form.fix")) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    try {
      /** @type {LinesLeft} */
      const { left } = await tell("/studio/fix",
        { which, version, line: Number(form.dataset.line),
        below: "below" in form.dataset, text: form.elements.text.value });
      if (left) location.reload(); else location.assign(which === "studio" ? "/studio" : "/plan");
    } catch (error) {
      say(error.message, { words: SAID.show, do: () => location.reload() });
    }
  });
}

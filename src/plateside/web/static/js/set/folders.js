// At the laptop: the second disk and the memory card are named, and the frames folder is opened.
/** @import { Offered } from "../core/facts" */
import { ask, tell } from "../core/ask.js";
import { all, make, one } from "../core/dom.js";
import { say } from "../core/say.js";

const SAID_MS = 9000;

for (const form of all(".name-folder")) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const input = form.querySelector("input"), button = form.querySelector("button");
    button.disabled = true;
    try {
      const { said } = await tell("/set/folders", { [form.dataset.field]: input.value });
      say(said.join(" "), null, SAID_MS);
    } catch (error) { say(error.message, null, SAID_MS); }
    button.disabled = false;
  });
}

one("#open-frames")?.addEventListener("click", async () => {
  try { say((await tell("/set/open-frames", {})).said, null, SAID_MS); } catch (error) { say(error.message, null, SAID_MS); }
});

/** What is plugged in is offered while a folder is typed. */
async function offer() {
  try {
    /** @type {Offered} */
    const found = await ask("/set/folders");
    one("#disks").replaceChildren(...found.disks.map((value) => make("option", { value })));
    one("#cards").replaceChildren(...found.cards.map((value) => make("option", { value })));
  } catch { /* it can be typed all the same */ }
}
for (const input of all(".name-folder input")) input.addEventListener("focus", offer);

// Your own forecast or weather file: given, used, taken away.
import { tell } from "../core/ask.js";
import { all, one } from "../core/dom.js";
import { SAID } from "./words.js";

const LARGEST = 8e6, LARGEST_SENT = 950e3;

/** The file packed small: a year by the hour is larger than what a page may send. */
async function packed(file) {
  const stream = file.stream().pipeThrough(new CompressionStream("gzip"));
  const bytes = new Uint8Array(await new Response(stream).arrayBuffer());
  let text = "";
  for (let at = 0; at < bytes.length;
    at += 8192) text += String.fromCharCode(...bytes.subarray(at, at + 8192));
  return btoa(text);
}

/** day() gives the day that bare times belong to; the page is then loaded with `sky` chosen. */
export function ownSky({ day, choices }) {
  const said = one("#sky-said"), input = one("#sky-file");
  const goOn = (sky) => {
    const query = choices();
    if (sky) query.set("sky", sky); else query.delete("sky");
    location.assign(`/light?${query}`);
  };
  input.addEventListener("change", async () => {
    const [file] = input.files;
    if (!file) return;
    said.textContent = SAID.reading;
    try {
      const sent = file.size > LARGEST ? "" : await packed(file);
      if (!sent || sent.length > LARGEST_SENT) {
        said.textContent = SAID.fileTooLarge;
        input.value = "";
        return;
      }
      const sky = await tell("/light/sky", { packed: sent, day: day() });
      said.textContent = sky.words;
      goOn(sky.kind);
    } catch (error) { said.textContent = error.message; input.value = ""; }
  });
  for (const button of all(".sky-away")) {
    button.addEventListener("click", async () => {
      try {
        await tell("/light/sky/away", { kind: button.dataset.kind });
        goOn(choices().get("sky") === button.dataset.kind ? "" : choices().get("sky"));
      } catch (error) { said.textContent = error.message; }
    });
  }
}

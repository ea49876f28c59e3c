// Retouched files come back: dropped or chosen here, at the laptop; what was found of each that is there.
/** @import { CameBackShown, FinishShown } from "../core/facts" */
import { make, one } from "../core/dom.js";
import { press } from "../core/press.js";
import { trying } from "../core/say.js";
import { dropped, hasFiles, sendFile } from "../core/sending.js";
import { RETOUCHED } from "./words.js";

/** Codes that are said beside the picture itself. */
const AT_PICTURE = ["taken"];
const place = one("#came-back"), list = one("#came-back-list"), line = one("#coming-back");
const waiting = [];
let sending = false, total = 0;

/**
 * What is there now. `changed`: something was written down.
 * @param {FinishShown} reply
 * @param {() => void} changed
 */
export function drawCameBack(reply, changed) {
  place.hidden = !reply.take_in;
  one("#take-in").textContent = reply.take_in;
  list.replaceChildren(...reply.came_back.filter((found) => !AT_PICTURE.includes(found.code))
    .map((found) => make("li", { class: found.code === "later" || found.code === "as made" ? "soft" : "mind",
      "data-code": found.code }, found.words, again(found, reply.row, changed))));
}

/** @type {(found: CameBackShown, row: number, changed: () => void) => any} */
const again = (found, row, changed) => (found.code === "as made" ? [" ", make("button",
  { type: "button", class: "quiet", onclick: () => trying(async () => {
    await press("as made", { shot: found.picture, sha256: "none" }, row);
    changed();
  }) }, RETOUCHED.useAgain)] : "");

async function add(files, changed) {
  total += files.length;
  waiting.push(...files);
  if (sending) return;
  sending = true;
  const said = [];
  for (let file = waiting.shift(); file; file = waiting.shift()) {
    line.hidden = false;
    line.textContent = RETOUCHED.coming(file.name, total - waiting.length, total);
    try {
      said.push((await sendFile(file, "/finish/retouched")).said);
    } catch (error) {
      said.push(error.message);
    }
  }
  sending = false;
  total = 0;
  line.replaceChildren(...said.map((words) => make("span", {}, words)));
  changed();
}

/** Take files dropped anywhere on the page, or chosen: at the laptop, where there is a place to choose. */
export function takeFiles(changed) {
  const input = document.querySelector("#retouched-files");
  if (!(input instanceof HTMLInputElement)) return;
  input.addEventListener("change", () => { add([...(input.files || [])], changed); input.value = ""; });
  addEventListener("dragover", (event) => {
    if (hasFiles(event) && !place.hidden) { event.preventDefault(); place.classList.add("over"); }
  });
  addEventListener("dragleave", (event) => { if (!event.relatedTarget) place.classList.remove("over"); });
  addEventListener("drop", async (event) => {
    place.classList.remove("over");
    if (!hasFiles(event) || place.hidden) return;
    event.preventDefault();
    add(await dropped(event.dataTransfer), changed);
  });
  addEventListener("beforeunload", (event) => { if (sending) event.preventDefault(); });
}

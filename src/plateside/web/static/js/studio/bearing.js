// Which way a window looks, by the sun: moments noted with a clock and a tape measure, and the room turned by a press.
import { tell } from "../core/ask.js";
import { make } from "../core/dom.js";
import { markField } from "../core/save.js";
import { length } from "../start/number.js";
import { turned } from "./new.js";
import { frontBearing } from "./room.js";

const SEEN = [
  ["left", "it grazed the wall, from the left"], ["right", "it grazed the wall, from the right"],
  ["top-left", "its patch: the top left corner"], ["top-right", "its patch: the top right corner"],
  ["bottom-left", "its patch: the bottom left corner"], ["bottom-right", "its patch: the bottom right corner"],
];
const WHERE = [["Along the wall, from its left end", ""], ["From the wall", ""], ["Above the floor", "0"]];
let count = 0;

/** Fields for the notes of window n. told: save(changes); studio() as it now is. */
export function sunBearing(n, told) {
  const notes = make("div", {}), words = make("div", { role: "status" });
  const add = () => notes.append(note(notes.childElementCount > 0));
  const find = make("button", { type: "button", onclick: () => work() }, "Work it out");
  async function work() {
    words.replaceChildren();
    const read = [...notes.children].map(readNote);
    if (read.includes(null)) return;
    find.disabled = true;
    try {
      const found = await tell("/studio/bearing", { window: told.studio().windows[n].name, notes: read });
      words.replaceChildren(...found.lines.map((line) => make("p", { class: "small" }, line)),
        make("p", {}, make("button", { type: "button", onclick: () => keep(found) }, `Turn the room by ${Math.abs(found.change_deg).toFixed(1)}°`), " ", make("span", { class: "small soft" }, "The whole room turns with it, and every window.")));
    } catch (error) { words.replaceChildren(make("p", { class: "mind small" }, error.message)); } finally { find.disabled = false; }
  }
  async function keep(found) {
    if (await told.save(turned(told.studio(), frontBearing(told.studio()) + found.change_deg))) { words.replaceChildren(make("p", { class: "small" }, `It looks to ${found.bearing_deg}° now. Undo takes it back.`)); find.focus(); }
  }
  add();
  return make("details", { class: "more by-sun" }, make("summary", {}, "Which way it looks, by the sun"),
    make("p", { class: "small soft" }, "Note when the sun first or last touched the wall beside the window, or where a corner of its patch lay. Left and right are seen from inside. Times are the studio’s own."),
    make("p", { class: "mind small" }, "Never look at the sun, least of all through a lens or a finder: watch the edge of the light."),
    notes, make("div", { class: "row" }, find, make("button", { type: "button", class: "quiet", onclick: () => { add(); notes.lastChild.querySelector("input").focus(); } }, "Another note")), words);
}

function note(removable) {
  count += 1;
  const id = `sun-${count}`, field = (part, label, input, unit = "") => make("div", { class: `field${part === "what" || part === "when" ? " words" : ""}` }, make("label", { for: `${id}-${part}` }, label), make("div", { class: "with-unit" }, input, unit ? make("span", { class: "unit" }, unit) : null));
  const where = WHERE.map(([label, usual], k) => field(k, label, make("input", { id: `${id}-${k}`, inputmode: "decimal", autocomplete: "off", maxlength: 12, value: usual }), "m"));
  const what = make("select", { id: `${id}-what`, onchange: () => { for (const each of where) each.hidden = !what.value.includes("-"); } }, SEEN.map(([value, told]) => make("option", { value }, told)));
  for (const each of where) each.hidden = true;
  const row = make("div", { class: "fields", role: "group", "aria-label": "A note" },
    field("when", "When", make("input", { id: `${id}-when`, type: "datetime-local" })), field("what", "What the sun did", what), ...where,
    removable ? make("div", { class: "row" }, make("button", { type: "button", class: "quiet", onclick: () => row.remove() }, "Take this note away")) : null);
  return row;
}

/** A note as the server takes it; null when something is missing, which is then told at its field. */
function readNote(row) {
  const [when, ...where] = row.querySelectorAll("input"), what = row.querySelector("select").value;
  const wrong = (input, words) => { markField(input.closest(".field"), words); if (!words) input.removeAttribute("aria-invalid"); return Boolean(words); };
  let bad = wrong(when, when.value ? "" : "Write the day and the time.");
  const numbers = what.includes("-") ? where.map((input) => { const metres = length(input.value); bad = wrong(input, metres === null || Number.isNaN(metres) ? "Write metres as 1.2." : "") || bad; return String(metres); }) : [];
  return bad ? null : [when.value, what, ...numbers];
}

// Which way a window looks, by the sun: moments noted with a clock and a tape measure, and the room turned by
// a press.
/** @import { BearingShown } from "../core/facts" */
import { tell } from "../core/ask.js";
import { make } from "../core/dom.js";
import { markField } from "../core/save.js";
import { length } from "../start/number.js";
import { turned } from "./new.js";
import { frontBearing } from "./room.js";
import { PANEL, SUN } from "./words.js";

/** What a corner's height is when nothing is written. */
const USUAL = ["", "", "0"];
let count = 0;

/** Fields for the notes of window n. page: save(changes); studio() as it now is. */
export function sunBearing(n, page) {
  const notes = make("div", {}), words = make("div", { role: "status" });
  const add = () => notes.append(note(notes.childElementCount > 0));
  const find = make("button", { type: "button", onclick: () => work() }, SUN.find);
  async function work() {
    words.replaceChildren();
    const read = [...notes.children].map(readNote);
    if (read.includes(null)) return;
    find.disabled = true;
    try {
      /** @type {BearingShown} */
      const found = await tell("/studio/bearing", { window: page.studio().windows[n].name, notes: read });
      words.replaceChildren(...found.lines.map((line) => make("p", { class: "small" }, line)),
        make("p", {}, make("button", { type: "button", onclick: () => keep(found) },
          SUN.turn(Math.abs(found.change_deg).toFixed(1))),
          " ", make("span", { class: "small soft" }, PANEL.turns)));
    } catch (error) {
      words.replaceChildren(make("p", { class: "mind small" }, error.message));
    } finally { find.disabled = false; }
  }
  /** @param {BearingShown} found */
  async function keep(found) {
    if (await page.save(turned(page.studio(), frontBearing(page.studio()) + found.change_deg))) {
      words.replaceChildren(make("p", { class: "small" }, SUN.turned(found.bearing_deg)));
      find.focus();
    }
  }
  add();
  return make("details", { class: "more by-sun" }, make("summary", {}, SUN.head),
    make("p", { class: "small soft" }, SUN.how),
    make("p", { class: "mind small" }, SUN.danger),
    notes, make("div", { class: "row" }, find,
      make("button", { type: "button", class: "quiet", onclick: () => {
      add();
      notes.lastChild.querySelector("input").focus();
    } }, SUN.another)), words);
}

function note(removable) {
  count += 1;
  const id = `sun-${count}`, field = (part, label, input, unit = "") =>
    make("div", { class: `field${part === "what" || part === "when" ? " words" : ""}` },
    make("label", { for: `${id}-${part}` }, label),
    make("div", { class: "with-unit" }, input, unit ? make("span", { class: "unit" }, unit) : null));
  const where = SUN.where.map((label, k) =>
    field(k, label,
    make("input", { id: `${id}-${k}`, inputmode: "decimal",
    autocomplete: "off", maxlength: 12, value: USUAL[k] }), "m"));
  const what = make("select", { id: `${id}-what`, onchange: () => {
    for (const each of where) each.hidden = !what.value.includes("-");
  } }, SUN.seen.map(([value, words]) => make("option", { value }, words)));
  for (const each of where) each.hidden = true;
  const row = make("div", { class: "fields", role: "group", "aria-label": SUN.note },
    field("when", SUN.when, make("input", { id: `${id}-when`, type: "datetime-local" })),
      field("what", SUN.what, what), ...where,
    removable ? make("div", { class: "row" },
      make("button", { type: "button", class: "quiet", onclick: () => row.remove() }, SUN.remove)) : null);
  return row;
}

/** A note as the server takes it; null when something is missing, which is then said at its field. */
function readNote(row) {
  const [when, ...where] = row.querySelectorAll("input"), what = row.querySelector("select").value;
  const wrong = (input, words) => {
    markField(input.closest(".field"), words);
    if (!words) input.removeAttribute("aria-invalid");
    return Boolean(words);
  };
  let bad = wrong(when, when.value ? "" : SUN.noTime);
  const numbers = what.includes("-") ? where.map((input) => {
    const metres = length(input.value);
    bad = wrong(input, metres === null || Number.isNaN(metres) ? SUN.metres : "") || bad;
    return String(metres);
  }) : [];
  return bad ? null : [when.value, what, ...numbers];
}

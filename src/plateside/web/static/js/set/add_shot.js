// A shot added on the spot: what, from where, what is sharp; the rest is as in the shot that is being taken.
import { tell } from "../core/ask.js";
import { make } from "../core/dom.js";
import { SHEET } from "./words.js";

const WORDS = SHEET.add;

/** The form, closed: a line of the sheet. added(name) is called with the new shot's name. */
export function addShot(current, added) {
  const choice = (id, given, usual) => make("select", { id },
    Object.entries(given).map(([value, words]) => make("option", { value, selected: value === usual }, words)));
  const what = make("input", { id: "new-shot-what", maxlength: "120", autocomplete: "off" });
  const angle = choice("new-shot-angle", WORDS.angles, "three-quarter"), sharp = choice("new-shot-sharp", WORDS.sharps, "hero");
  const said = make("p", { role: "alert" });
  const row = (words, field) => make("p", {}, make("label", { for: field.id }, words), field);
  const form = make("form", { class: "new-shot", onsubmit: async (event) => {
    event.preventDefault();
    if (!what.value.trim()) { said.textContent = WORDS.noName; what.focus(); return; }
    said.textContent = "";
    try {
      const sent = { what: what.value, angle: angle.value, sharp: sharp.value, after: current() };
      const { shot } = await tell("/set/shot", sent);
      what.value = "";
      box.open = false;
      await added(shot);
    } catch (error) { said.textContent = error.message; }
  } }, row(WORDS.what, what), row(WORDS.from, angle), row(WORDS.sharp, sharp), said,
  make("button", { type: "submit" }, WORDS.make));
  const box = make("details", { id: "new-shot" }, make("summary", {}, WORDS.button), form);
  return box;
}

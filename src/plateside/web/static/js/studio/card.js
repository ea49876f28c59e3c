// The light on a grey card that lay where the dish stands, read from one of the shoot's raws.
import { ask, tell } from "../core/ask.js";
import { make } from "../core/dom.js";
import { number } from "../start/number.js";

/** Where the card is looked for when nothing is said, and how much light a grey card gives back [percent]. */
const PATCH = [["Its left edge", 40], ["Its upper edge", 40], ["Its width", 20], ["Its height", 20]], GREY = 18;

/** The way to read a card, as a part of a form; found({illuminance_lx, at, evidence}) is called with what it says. */
export function greyCard(found) {
  const words = make("p", { class: "small", role: "status" }), frames = make("select", { id: "card-frame" });
  const percent = (id, label, usual) => make("div", { class: "field" }, make("label", { for: id }, label), make("div", { class: "with-unit" }, make("input", { id, inputmode: "decimal", autocomplete: "off", maxlength: 8, value: usual }), make("span", { class: "unit" }, "%")));
  const parts = PATCH.map(([label, usual], k) => percent(`card-${k}`, label, usual)), grey = percent("card-grey", "Light the card gives back", GREY);
  const press = make("button", { type: "button", disabled: true, onclick: () => read() }, "Read the card");
  async function read() {
    const [reflectance, ...patch] = [grey, ...parts].map((each) => number(each.querySelector("input").value.trim().replace(",", ".")) / 100);
    if ([reflectance, ...patch].some((share) => !(share >= 0 && share <= 1))) { words.textContent = "The card’s place and its light are percentages, 0 to 100."; return; }
    press.disabled = true;
    words.textContent = "Reading the raw.";
    try {
      const told = await tell("/studio/card", { frame: frames.value, patch, reflectance });
      words.textContent = `${told.evidence}: ${told.illuminance_lx} lx, give or take ${told.spread_stops.toFixed(1)} stops${told.at ? "" : "; it does not say when it was taken: write that above"}.`;
      found(told);
    } catch (error) { words.textContent = error.message; } finally { press.disabled = false; }
  }
  async function list() {
    try {
      const told = await ask("/studio/card");
      frames.replaceChildren(...told.frames.map((name) => make("option", { value: name }, name)));
      press.disabled = !told.frames.length;
      words.textContent = told.frames.length ? "" : "There is no raw among the shoot’s frames yet: a camera’s JPEG bends the levels.";
    } catch (error) { words.textContent = error.message; }
  }
  const details = make("details", { class: "more" }, make("summary", {}, "Read it from a grey card’s raw"),
    make("p", { class: "small soft" }, "Lay the card flat where the dish stands, lamps off, and fill the middle of the frame with it."),
    make("div", { class: "fields" }, make("div", { class: "field words" }, make("label", { for: "card-frame" }, "The frame"), frames)),
    make("details", { class: "more" }, make("summary", {}, "The card is elsewhere in the picture, or no 18 % card"), make("div", { class: "fields" }, parts, grey)),
    make("div", { class: "row" }, press), words);
  details.addEventListener("toggle", (event) => { if (event.target === details && details.open) list(); });
  return details;
}

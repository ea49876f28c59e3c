// The light on a grey card that lay where the dish stands, read from one of the shoot's raws.
/** @import { CardFrames, CardRead } from "../core/facts" */
import { ask, tell } from "../core/ask.js";
import { make } from "../core/dom.js";
import { number } from "../start/number.js";
import { CARD } from "./words.js";

/** Where the card is looked for when nothing is said, and how much light a grey card gives back [percent]. */
const PATCH = [40, 40, 20, 20], GREY = 18;

/**
 * The way to read a card, as a part of a form; found({illuminance_lx, at, evidence}) is called with what it
 * says.
 */
export function greyCard(found) {
  const words = make("p", { class: "small", role: "status" }), frames = make("select", { id: "card-frame" });
  const percent = (id, label, usual) => make("div", { class: "field" }, make("label", { for: id }, label),
    make("div", { class: "with-unit" },
    make("input", { id, inputmode: "decimal", autocomplete: "off", maxlength: 8, value: usual }),
    make("span", { class: "unit" }, "%")));
  const parts = PATCH.map((usual, k) => percent(`card-${k}`, CARD.patch[k], usual)),
    grey = percent("card-grey", CARD.reflects, GREY);
  const press = make("button", { type: "button", disabled: true, onclick: () => read() }, CARD.read);
  async function read() {
    const [reflectance, ...patch] =
      [grey, ...parts].map((each) =>
      (number(each.querySelector("input").value.trim().replace(",", ".")) ?? 0) / 100);
    if ([reflectance, ...patch].some((share) => !(share >= 0 && share <= 1))) {
      words.textContent = CARD.percent;
      return;
    }
    press.disabled = true;
    words.textContent = CARD.reading;
    try {
      /** @type {CardRead} */
      const reply = await tell("/studio/card", { frame: frames.value, patch, reflectance });
      words.textContent = CARD.found(reply.evidence,
        reply.illuminance_lx, reply.spread_stops.toFixed(1), reply.at);
      found(reply);
    } catch (error) { words.textContent = error.message; } finally { press.disabled = false; }
  }
  async function list() {
    try {
      /** @type {CardFrames} */
      const reply = await ask("/studio/card");
      frames.replaceChildren(...reply.frames.map((name) => make("option", { value: name }, name)));
      press.disabled = !reply.frames.length;
      words.textContent = reply.frames.length ? "" : CARD.noRaw;
    } catch (error) { words.textContent = error.message; }
  }
  const details = make("details", { class: "more" }, make("summary", {}, CARD.head),
    make("p", { class: "small soft" }, CARD.how),
    make("div", { class: "fields" },
      make("div", { class: "field words" }, make("label", { for: "card-frame" }, CARD.frame), frames)),
    make("details", { class: "more" }, make("summary", {}, CARD.other),
      make("div", { class: "fields" }, parts, grey)),
    make("div", { class: "row" }, press), words);
  details.addEventListener("toggle", (event) => { if (event.target === details && details.open) list(); });
  return details;
}

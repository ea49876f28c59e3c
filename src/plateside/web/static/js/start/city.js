// A town by its name: suggestions as it is typed, by keys and by touch. The list of towns is on this
// computer.
/** @import { City, PlacesFor, PlaceTyped } from "../core/facts" */
import { ask } from "../core/ask.js";
import { make, settled } from "../core/dom.js";
import { CITY } from "./words.js";

/** @type {(city: City) => string} */
const about = (city) => [city.region, city.country,
  city.population === 0 ? coordinates(city) : ""].filter(Boolean).join(", ");
/** @type {(city: City) => string} */
export const coordinates = (city) => {
  const part = (value, plus, minus) => `${Math.abs(value).toFixed(2)}° ${value >= 0 ? plus : minus}`;
  return `${part(city.latitude_deg, "north", "south")}, ${part(city.longitude_deg, "east", "west")}`;
};

/**
 * A field for a town, filled into `field` (class "field").
 *   chosen(city)  called when one is chosen
 *   left()        called when the one that was chosen is written over
 * Gives back { input, settle() }: settle resolves to the town that was chosen or typed to its end, or throws.
 */
/** @param {any} field @param {any} how */
export function cityField(field, { id, label, chosen, left = () => {}, now = null }) {
  /** @type {City[]} */
  let found = [];
  /** @type {City | null} */
  let city = now;
  let at = -1, asked = 0;
  const input = make("input", { id, role: "combobox", autocomplete: "off", "aria-expanded": "false",
    "aria-controls": `${id}-list`, "aria-autocomplete": "list", placeholder: "Town or city" });
  const list = make("ul", { id: `${id}-list`, role: "listbox", "aria-label": "Places", hidden: true });
  const said = make("p", { class: "chosen soft", role: "status" });
  field.classList.add("city");
  const credit = make("p", { class: "soft small" }, CITY.credit);
  field.append(make("label", { for: id }, label), input, list, said, credit);
  if (city) { input.value = city.name; tellChosen(); }

  function tellChosen() {
    said.textContent = city ? CITY.chosen(city.name,
      about(city), city.population === 0 ? "" : coordinates(city), city.timezone) : "";
  }

  function show() {
    list.replaceChildren(...found.map((each, n) => make("li", {
      id: `${id}-${n}`, role: "option", "aria-selected": n === at ? "true" : "false",
      onpointerdown: (event) => event.preventDefault(), onclick: () => take(each),
    }, make("span", {}, each.name), make("span", { class: "soft small" }, about(each)))));
    list.hidden = !found.length;
    input.setAttribute("aria-expanded", String(Boolean(found.length)));
    if (at >= 0) {
      input.setAttribute("aria-activedescendant", `${id}-${at}`);
      list.children[at].scrollIntoView({ block: "nearest" });
    } else input.removeAttribute("aria-activedescendant");
  }

  /** @param {City} each */
  function take(each) {
    asked += 1;
    city = each; found = []; at = -1;
    input.value = each.name;
    show(); tellChosen(); chosen(each);
  }

  const look = settled(140, async () => {
    const text = input.value.trim(), number = ++asked;
    if (text.length < 2) { found = []; at = -1; show(); return; }
    try {
      /** @type {PlacesFor} */
      const answer = await ask(`/start/cities?q=${encodeURIComponent(text)}`);
      if (number !== asked) return;
      found = answer.cities.length ? answer.cities : answer.near;
      at = -1;
      show();
      said.textContent = answer.said
        || (answer.cities.length ? "" : answer.near.length ? CITY.near : text.length > 2 ? CITY.none : "");
    } catch (error) { if (number === asked) said.textContent = error.message; }
  });

  input.addEventListener("input", () => {
    // what was chosen or offered is another place's as soon as another name is typed
    const had = city, begun = input.value.trim().toLocaleLowerCase();
    city = null;
    found = begun ? found.filter((each) => each.name.toLocaleLowerCase().startsWith(begun)) : [];
    at = -1;
    said.textContent = "";
    show();
    if (had) left();
    look();
  });
  input.addEventListener("keydown", (event) => {
    if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      if (!found.length) return;
      event.preventDefault();
      at = event.key === "ArrowDown" ? (at + 1) % found.length
        : (Math.max(at, 0) - 1 + found.length) % found.length;
      show();
    } else if (event.key === "Enter" && found.length) {
      event.preventDefault();
      take(found[Math.max(at, 0)]);
    } else if (event.key === "Escape" && found.length) {
      event.preventDefault();
      found = []; at = -1; show();
    }
  });
  input.addEventListener("blur", () => setTimeout(() => { if (document.activeElement !== input) {
    list.hidden = true;
    input.setAttribute("aria-expanded", "false");
  } }, 150));
  input.addEventListener("focus", () => { if (found.length) {
    list.hidden = false;
    input.setAttribute("aria-expanded", "true");
  } });

  async function settle() {
    if (city) return city;
    const text = input.value.trim();
    if (!text) throw new Error(CITY.empty);
    asked += 1;
    said.textContent = CITY.looking;
    /** @type {PlaceTyped} */
    const answer = await ask(`/start/cities?whole=1&q=${encodeURIComponent(text)}`);
    if (!answer.city) {
      // an answer to what was typed before must not take these names away
      asked += 1;
      found = answer.offered; at = -1;
      said.textContent = "";
      show();
      throw new Error(answer.said);
    }
    take(answer.city);
    return answer.city;
  }
  return { input, settle };
}

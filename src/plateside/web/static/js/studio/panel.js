// Beside the plan: the fields of what is chosen, and what can be done with it without dragging.
import { make } from "../core/dom.js";
import { sunBearing } from "./bearing.js";
import { cityField, coordinates } from "../start/city.js";
import { compass } from "../start/compass.js";
import { toWall, turned } from "./new.js";
import { frontBearing, thingAt, WALLS, wallOf } from "./room.js";
import { PANEL, PLAN } from "./words.js";

const HEADS = { windows: "Window", spots: "Table spot",
  furniture: "Furniture", diffusers: "Diffuser", boards: "Board", opposite: "Outside" };
const STEPS = [["←", [-1, 0], "left"], ["↑", [0, -1], "up"], ["↓", [0, 1], "down"], ["→", [1, 0], "right"]];

export class Panel {
  constructor(head, place, fields, page) {
    this.head = head;
    this.place = place;
    this.fields = fields;
    this.page = page;
    this.drawn = "";
  }

  show(studio, path) {
    this.studio = studio;
    const at = path[0] === "room" ? ["room"] : path,
      kind = at.length > 2 ? "opposite" : at[0], thing = thingAt(studio, at);
    const signature =
      JSON.stringify([at, studio.windows.length,
      kind === "opposite" ? studio.windows[at[1]].opposite.length : 0]);
    this.head.textContent = kind === "room" ? "The room"
      : kind === "place" ? "Where it is" : `${HEADS[kind]}: ${thing.name || PANEL.unnamed}`;
    if (signature === this.drawn) {
      this.dial?.set(frontBearing(studio));
      if (this.wall) this.wall.value = wallOf(studio, thing);
      return;
    }
    this.drawn = signature;
    this.dial = this.wall = null;
    this.place.replaceChildren(...this.#parts(kind, at, thing));
    this.fields.show(studio);
  }

  #parts(kind, at, thing) {
    if (kind === "room") {
      const turnable = make("div", {});
      this.dial = compass(turnable,
        { id: "front", value: frontBearing(this.studio), latitude: this.studio.place.latitude_deg,
        label: PANEL.front, done: (deg) => this.page.save(turned(this.studio, deg)) });
      return [...this.fields.of(at, { only: ["width_m", "depth_m", "height_m"] }),
        make("h3", {}, PANEL.frontHead), make("p", { class: "small soft" }, PANEL.turns), turnable,
        make("h3", {}, PANEL.walls),
          ...this.fields.of(at,
          { only: ["floor_reflectance", "ceiling_reflectance",
          "front_reflectance", "right_reflectance", "back_reflectance", "left_reflectance"] })];
    }
    if (kind === "place") {
      const field = make("div", { class: "field" });
      cityField(field, { id: "studio-city", label: "Another town", chosen: (city) => this.page.save([
        { put: ["place", "name"], value: city.name }, { put: ["place", "country"], value: city.country_code },
          { put: ["place", "latitude_deg"], value: Number(city.latitude_deg.toFixed(4)) },
        { put: ["place", "longitude_deg"], value: Number(city.longitude_deg.toFixed(4)) },
          { put: ["place", "timezone"], value: city.timezone }]) });
      return [make("p", { class: "soft" }, `${thing.name || "The studio"}: ${coordinates(thing)}.`), field,
        ...this.fields.of(at,
        { only: ["name", "country", "latitude_deg", "longitude_deg", "altitude_m", "timezone", "units"] })];
    }
    const parts = [];
    if (["windows", "spots", "furniture", "opposite"].includes(kind)) {
      const steps = kind === "windows"
        ? STEPS.filter(([, [x]]) => (["front", "back"].includes(wallOf(this.studio, thing)) ? x : !x))
        : kind === "opposite" ? STEPS.filter(([, [x]]) => x) : STEPS;
      parts.push(make("div", { class: "nudge", role: "group", "aria-label": "Move" },
        steps.map(([sign, by, words]) =>
        make("button", { type: "button", "aria-label": `Move ${words}`,
        onclick: () => this.page.plan.nudge(at, by, 1) }, sign)),
        make("span", { class: "small soft" }, kind === "opposite" ? "one degree" : "one centimetre")));
    }
    if (kind === "windows") {
      this.wall = make("select",
        { id: "window-wall", onchange: (event) =>
        this.page.save(toWall(this.studio, at[1], event.target.value)) },
        WALLS.map((wall) => make("option", { value: wall }, wall)));
      this.wall.value = wallOf(this.studio, thing);
      parts.push(make("div", { class: "field" }, make("label", { for: "window-wall" }, "In which wall"),
        this.wall));
    }
    parts.push(...this.fields.of(at));
    if (kind === "windows") parts.push(
      sunBearing(at[1], { save: this.page.save, studio: () => this.studio }));
    if (kind === "spots") parts.push(this.page.boards.place);
    if (kind === "windows" && thing) {
      const outside = thing.opposite.map((each, k) =>
        make("li", {},
        make("button", { type: "button", class: "quiet",
        onclick: () => this.page.choose([...at, "opposite", k]) }, each.name || PLAN.something)));
      if (outside.length) parts.push(make("h3", {}, "Outside this window"),
        make("ul", { class: "plain" }, outside));
    }
    if (kind === "opposite") parts.push(
      make("p", {},
      make("button", { type: "button", class: "quiet", onclick: () => this.page.choose(at.slice(0, 2)) },
      `Back to ${this.studio.windows[at[1]].name}`)));
    if (kind === "boards") parts.push(make("p", { class: "small soft" }, PANEL.boards));
    parts.push(make("div", { class: "row panel-acts" },
      make("button", { type: "button", onclick: () => this.page.remove(at) }, PANEL.remove)));
    return parts;
  }

  /** The numbers of what is being moved, while it moves. */
  showValues(draft, at) {
    for (const entry of this.fields.fields.values()) {
      if (entry.path.length === at.length + 1 && at.every((part, n) => part === entry.path[n])
        && document.activeElement !== entry.input) {
        const value = thingAt(draft, entry.path);
        if (typeof value === "number") entry.input.value = String(value);
      }
    }
  }
}

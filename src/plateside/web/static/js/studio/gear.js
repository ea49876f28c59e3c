// Gear as lists, each item's fields in place.
import { make } from "../core/dom.js";
import { Learning } from "./fit.js";
import { NewReading } from "./reading.js";
import { GEAR, PANEL } from "./words.js";

/** Kinds of gear, and what is said of one in short. @type {[string, (thing: any) => string][]} */
const LISTS = [
  ["cameras",
    (c) =>
    `${c.sensor_width_mm} × ${c.sensor_height_mm} mm, ${(c.pixels_wide * c.pixels_high / 1e6).toFixed(0)} megapixels`],
  ["lenses",
    (l) =>
    `${[l.focal_length_mm, l.focal_length_to_mm].filter(Boolean).join("–")} mm, f/${l.widest_aperture}`],
  ["supports", (s) => `${s.kind}, ${s.lowest_m} to ${s.highest_m} m`],
  ["surfaces", (s) => `${s.material}, ${s.width_m} × ${s.depth_m} m`],
  ["props", (p) => `${p.kind}, ${p.width_mm} mm wide`],
  ["readings", (r) => `${r.illuminance_lx} lx, ${r.spot}, ${r.sky} sky`],
];

export class Gear {
  constructor(place, fields, page) {
    this.place = place;
    this.fields = fields;
    this.page = page;
    this.drawn = {};
    this.reading = new NewReading(fields.tables, {
      save: page.save, studio: () => this.fields.studio,
      added: () => this.open(["readings", this.fields.studio.readings.length - 1]), closed: () => {
        this.drawn.readings.add.hidden = false;
        this.drawn.readings.add.focus();
      }, opened: () => { this.drawn.readings.add.hidden = true; },
    });
    this.learning =
      new Learning({ save: page.save, version: page.version, studio: () => this.fields.studio });
    for (const [kind] of LISTS) {
      const [head, about, add] = GEAR[kind];
      const list = make("div", { class: "gear-items" }),
        button = make("button", { type: "button", onclick: () => page.add(kind) }, add);
      this.drawn[kind] = { list, add: button, count: -1 };
      place.append(make("section", { class: "gear-list", "aria-label": head },
        make("h3", {}, head), about ? make("p", { class: "soft small" }, about) : null, list,
        kind === "readings" ? this.reading.element : null,
          button, kind === "readings" ? this.learning.element : null));
    }
  }

  holds(kind) { return kind in this.drawn; }

  show(studio) {
    this.reading.show();
    this.learning.show();
    for (const [kind, short] of LISTS) {
      const drawn = this.drawn[kind], items = studio[kind];
      if (drawn.count !== items.length) {
        const open =
          new Set([...drawn.list.querySelectorAll("details.item[open]")].map((each) => each.dataset.name));
        drawn.list.replaceChildren(
          ...items.map((item, n) => this.#item(kind, n, item, open.has(nameOf(item)))));
        drawn.count = items.length;
        this.fields.show(studio);
      }
      [...drawn.list.children].forEach((each, n) => {
        each.dataset.name = nameOf(items[n]);
        const [name, about] = each.querySelectorAll("summary > :not(.dot)");
        name.textContent = nameOf(items[n]);
        about.textContent = short(items[n]);
        const dot = each.querySelector(".dot");
        if (dot && CSS.supports("color", items[n].colour)) dot.style.backgroundColor = items[n].colour;
      });
    }
  }

  #item(kind, n, item, open) {
    const at = [kind, n], inside = make("div", { class: "inside" });
    const fill = () => {
      if (inside.childElementCount) return;
      inside.append(...this.fields.of(at),
        make("div", { class: "row panel-acts" },
        make("button", { type: "button", onclick: () => this.page.remove(at) }, PANEL.remove)));
    };
    const details = make("details", { class: "item", open, "data-name": nameOf(item) },
      make("summary", {}, "colour" in item ? make("span", { class: "dot" }) : null,
        make("span", {}, ""), make("span", { class: "soft small" }, "")), inside);
    details.addEventListener("toggle", () => { if (details.open) {
      fill();
      this.fields.show(this.fields.studio);
    } });
    if (open) fill();
    return details;
  }

  /** Open an item that was just added. */
  open(at) {
    const details = this.drawn[at[0]].list.children[at[1]];
    if (!details) return;
    details.open = true;
    details.querySelector("summary").focus();
    details.scrollIntoView({ block: "center" });
  }
}

const nameOf = (item) => item.name || item.at || "";

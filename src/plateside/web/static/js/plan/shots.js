// The shot list: one card a shot, with its set-up, drawings, test picture, and its fields to edit in place.
import { drawing, make } from "../core/dom.js";
import { pictureFigure } from "./pictures.js";

/** What decides a picture stands open; the rest, which has an answer of its own when nothing is said, is folded. */
const FIRST = ["title", "name", "angle", "frame_width_mm", "frame_height_mm", "moves", "dish_width_mm", "dish_height_mm"];
const GROUPS = [
  ["The picture", ["camera_faces_deg", "elevation_deg", "space_percent", "orientation", "sharp", "background_gap_mm", "background_blur_percent", "deliberate"]],
  ["The dish", ["stand_in", "glossy", "fall_height_mm", "person", "model_release", "irreversible"]],
  ["The set", ["spot", "surface", "props", "fill_stops", "camera", "lens", "support"]],
  ["The hour", ["minutes", "from_time", "to_time"]],
  ["Words and where it goes", ["role", "caption", "alt_text", "channels"]],
];
/** Where the file's own words are for who writes the file. */
const HINTS = {
  name: "How the tool calls it: one word, or several with hyphens.",
  elevation_deg: "How far above the table the camera looks down from. Empty: 90 from above, 45 at an angle, 5 straight on.",
  background_blur_percent: "How far the background melts: a point of light there becomes so wide a disc. Empty: as it comes.",
  spot: "Empty: the first of the studio.", surface: "Empty: the first of the studio.", camera: "Empty: the first of the studio.",
  lens: "Empty: the tool weighs them all.", support: "Empty: the tool chooses.",
  fill_stops: "How many stops darker the shadow side may be. Empty: the tool does not ask for boards.",
  channels: "None marked: all of them.",
};

/** Fields of a shot that change nothing of what is worked out. */
export const WORDS_ONLY = new Set(["title", "caption", "alt_text", "role", "model_release"]);

const HEADLINE = [["Lens", "lens"], ["Distance", "distance"], ["Above the board", "height"], ["Aperture", "aperture"], ["Shutter", "shutter"], ["ISO", "iso"]];

/** One shot's card on the page. */
export class ShotCard {
  constructor({ fields, value, number, total, move, remove, add }) {
    const shot = value.shots[number];
    Object.assign(this, { fields, number, name: shot.name, path: ["shots", number], value });
    this.picture = pictureFigure(shot.name, () => this.title);
    this.heading = make("h3", { class: "shot-title" });
    this.under = make("p", { class: "soft small shot-under" });
    this.state = make("p", { class: "state small", role: "status" });
    this.setUp = make("div", { class: "set-up" });
    this.drawings = make("div", { class: "drawings" });
    this.more = make("div");
    this.edit = make("details", { class: "edit" }, make("summary", {}, "Change this shot"));
    this.rest = make("details", { class: "rest" }, make("summary", {}, "More about this shot"));
    this.edit.addEventListener("toggle", () => { if (this.edit.open) this.#fill(add); });
    const act = (words, label, action, off = false) => make("button", { type: "button", class: "quiet small-act", "aria-label": label, "data-act": words, disabled: off, onclick: action }, words);
    const tools = make("div", { class: "row tools" },
      act("Up", `Move ${shot.name} up`, () => move(-1), number === 0), act("Down", `Move ${shot.name} down`, () => move(1), number === total - 1),
      make("a", { class: "button quiet", href: `/plan/card/${shot.name}` }, "Print card"), act("Remove", `Remove ${shot.name}`, remove));
    this.element = make("article", { class: "shot", id: `shot-${shot.name}`, "aria-label": shot.name, "data-shot": shot.name },
      make("header", { class: "shot-head" }, make("div", {}, this.heading, this.under), tools), this.state,
      make("div", { class: "shot-look" }, this.picture.element, this.setUp), this.drawings, this.more, this.edit);
    this.element.addEventListener("keydown", (event) => {
      if (!event.altKey || (event.key !== "ArrowUp" && event.key !== "ArrowDown") || event.target.closest("select")) return;
      event.preventDefault();
      const by = event.key === "ArrowUp" ? -1 : 1;
      if (number + by >= 0 && number + by < total) move(by);
    });
    this.words(value);
  }

  /** Title and line below it, from the file's value alone. */
  words(value) {
    const shot = value.shots[this.number];
    this.title = shot.title;
    this.heading.textContent = shot.title || shot.name;
    this.under.textContent = [shot.title ? shot.name : "", shot.angle, shot.role].filter(Boolean).join(", ") + (this.when ? `, ${this.when}` : "");
  }

  /** Open the fields (and put the cursor into one). */
  open(name = "") {
    this.edit.open = true;
    this.#fill();
    if (name && !FIRST.includes(name)) this.rest.open = true;
    if (name) this.edit.querySelector(`[data-path$=".${name}"] input`)?.focus();
  }

  #fill(add) {
    if (this.filled) return;
    this.filled = true;
    this.add = add || this.add;
    const grid = (names) => make("div", { class: "fields three" }, ...names.map((name) => this.fields.make("Shot", name, this.path, { hint: HINTS[name] })));
    this.edit.append(make("section", { class: "field-group" }, grid(FIRST)), this.rest);
    for (const [head, names] of GROUPS) this.rest.append(make("section", { class: "field-group" }, make("h4", {}, head), grid(names), head === "The set" ? this.#boards() : null));
  }

  #boards() {
    const boards = this.fields.value().shots[this.number].boards;
    const { number } = this;
    const rows = boards.map((board, n) => make("li", { class: "fields board-row" }, ...["board", "side", "distance_m"].map((name) => this.fields.make("PlacedBoard", name, [...this.path, "boards", n])),
      make("button", { type: "button", class: "quiet", "aria-label": `Take the ${board.board} board away`, onclick: async ({ currentTarget }) => { currentTarget.disabled = true; currentTarget.disabled = await this.fields.save([{ take: ["shots", number, "boards", n] }]); } }, "Remove")));
    const known = this.fields.names.boards;
    const button = known.length ? make("button", { type: "button", class: "quiet", onclick: () => this.fields.save([{ add: ["shots", number, "boards"], item: { board: known[0] } }]) }, "Place a board") : make("p", { class: "soft small" }, "The studio has no boards to place.");
    return make("div", { class: "boards" }, rows.length ? make("ul", { class: "plain" }, ...rows) : null, button);
  }

  /** Everything worked out is of an earlier state of the file. */
  stale() {
    this.element.classList.add("stale");
    this.element.setAttribute("aria-busy", "true");
    this.state.textContent = this.shown ? "Being worked out again." : "Being worked out.";
    this.picture.stale();
  }

  /** What the day says of this shot. */
  show(told) {
    this.shown = true;
    this.element.classList.remove("stale");
    this.element.removeAttribute("aria-busy");
    this.state.textContent = "";
    this.when = told.slot ? `hero in at ${told.slot.hero_words}` : "";
    this.words(this.fields.value());
    const { card } = told;
    if (!card) {
      this.setUp.replaceChildren(make("p", { class: "mind" }, told.problem || "The day has no hour for this shot."));
      this.drawings.replaceChildren();
      this.more.replaceChildren();
      this.picture.none("Without a set-up there is no test picture.");
      return;
    }
    this.picture.shape(card.wide, card.high);
    if (!told.light) this.picture.none("A test picture needs a window in the studio.");
    const facts = HEADLINE.map(([name, key]) => make("div", {}, make("dt", {}, name), make("dd", {}, key === "iso" ? card.iso.replace(/^ISO /, "") : card[key])));
    this.setUp.replaceChildren(
      ...card.not_as_asked.map((words) => make("p", { class: "mind first" }, make("strong", {}, "Not as asked: "), words.replace(/^not the frame you asked for: /, ""))),
      make("dl", { class: "headline number" }, ...facts),
      make("p", { class: "soft small" }, `${card.camera}, ${card.support}`),
      ...[...(told.slot?.good_light === false ? told.slot.remarks : []), ...card.minds].map((words) => make("p", { class: "mind" }, make("strong", {}, "Mind: "), words)),
      ...card.cautions.map((words) => make("p", { class: "caution" }, words)),
    );
    this.drawings.replaceChildren(...[["From the side", card.side], ["From above", card.top]].map(([words, svg]) => make("figure", {}, drawing(svg), make("figcaption", { class: "soft small" }, `${words}, to scale`))));
    const list = (head, items) => (items.length ? make("div", {}, make("h4", {}, head), make("ul", { class: "plain notes" }, ...items.map((words) => make("li", {}, words)))) : null);
    const open = this.more.querySelector("details")?.open || false;
    this.more.replaceChildren(make("details", { open }, make("summary", {}, "Lengths, crops and rig"),
      make("dl", { class: "facts number" }, ...card.facts.map(([name, words]) => make("div", {}, make("dt", {}, name), make("dd", {}, words)))),
      make("div", { class: "more-lists" }, list("On the set", card.known), list("Crops", card.crops), list("If the light falls short", card.ways_out))));
  }
}

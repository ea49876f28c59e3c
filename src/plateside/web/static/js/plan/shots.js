// The shot list: one row a shot, opened one at a time: its planned picture and set-up, the fields that decide
// it, its drawings.
/** @import { ShotShown } from "../core/facts" */
import { drawing, make } from "../core/dom.js";
import { pictureFigure } from "./pictures.js";
import { rowAct } from "./rows.js";
import { GROUPS, HINTS, PICTURE, ROW, SHOT } from "./words.js";

/**
 * What decides a picture stands open, in the order in which it is thought of: what, from where, how much of
 * it, what is sharp, what moves, what it stands on. The rest has an answer of its own when nothing is said,
 * and is folded.
 */
const FIRST = ["title", "stand_in", "angle", "frame_width_mm", "frame_height_mm",
  "dish_width_mm", "dish_height_mm", "sharp", "moves", "surface"];
/** Fields of a shot that change nothing of the plan. */
export const WORDS_ONLY = new Set(["title", "caption", "alt_text", "role", "model_release"]);

/** One shot's card on the page. */
export class ShotCard {
  constructor({ fields, value, number, total, move, copy, remove, opens }) {
    const shot = value.shots[number];
    this.fields = fields;
    this.number = number;
    this.name = shot.name;
    this.path = ["shots", number];
    this.value = value;
    this.opens = opens;
    this.picture = pictureFigure(shot.name, () => this.title);
    this.heading = make("button", { type: "button", class: "shot-open",
      "aria-expanded": "false", "aria-controls": `shot-${shot.name}-body`, onclick: () => this.toggle() });
    this.under = make("p", { class: "soft small shot-under" });
    this.brief = make("p", { class: "small shot-brief number" });
    this.state = make("p", { class: "state small", role: "status" });
    this.setUp = make("div", { class: "set-up" });
    this.sizes = make("p", { class: "sizes small soft" });
    this.drawings = make("div", { class: "drawings" });
    this.more = make("div");
    this.edit = make("div", { class: "edit" });
    this.rest = make("details", { class: "rest" }, make("summary", {}, SHOT.more));
    const act = (which, action, off = false) => rowAct(which, shot.name, action, off);
    this.body = make("div", { class: "shot-body", id: `shot-${shot.name}-body`, hidden: true },
      make("div", { class: "shot-look" }, this.picture.element, this.setUp), this.edit,
      this.drawings, this.more,
      make("div", { class: "row tools shot-acts" }, act("copy", copy),
        make("a", { class: "button quiet", href: `/plan/card/${shot.name}` }, SHOT.print),
        act("remove", remove)));
    this.element = make("article",
      { class: "shot", id: `shot-${shot.name}`, "aria-label": shot.name, "data-shot": shot.name },
      make("header", { class: "shot-head" }, this.picture.thumb,
        make("div", { class: "shot-name" }, make("h3", { class: "shot-title" }, this.heading),
          this.under, this.brief),
        this.state, make("div", { class: "row tools" },
          act("up", () => move(-1), number === 0), act("down", () => move(1), number === total - 1))),
      this.body);
    this.element.addEventListener("keydown", (event) => {
      if (!event.altKey || (event.key !== "ArrowUp" && event.key !== "ArrowDown")
        || event.target.closest("select")) return;
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
    this.under.textContent = [shot.title ? shot.name : "", shot.angle, shot.role].filter(Boolean).join(", ")
      + (this.when ? `, ${this.when}` : "");
  }

  get isOpen() { return !this.body.hidden; }

  /** How much its picture is looked at: 2 open, 1 its row within the window, else 0. */
  get inSight() {
    const { top, bottom } = this.element.getBoundingClientRect();
    return this.isOpen ? 2 : Number(bottom > 0 && top < innerHeight);
  }

  toggle() {
    if (this.isOpen) this.close();
    else this.open();
  }

  /** Open the shot (and put the cursor into one of its fields); the one that stood open closes. */
  open(name = "") {
    this.#fill();
    this.body.hidden = false;
    this.element.classList.add("open");
    this.heading.setAttribute("aria-expanded", "true");
    this.opens(this);
    if (name && !FIRST.includes(name)) this.rest.open = true;
    if (name) this.edit.querySelector(`[data-path$=".${name}"] input`)?.focus();
  }

  close() {
    this.body.hidden = true;
    this.element.classList.remove("open");
    this.heading.setAttribute("aria-expanded", "false");
    this.opens(null, this);
  }

  /** The fields are made when a shot is first opened: most of them never are. */
  #fill() {
    if (this.filled) return;
    this.filled = true;
    const grid = (names) => make("div", { class: "fields three" },
      ...names.map((name) => this.fields.make("Shot", name, this.path, { hint: HINTS[name] })));
    this.edit.append(grid(FIRST), this.sizes, this.rest);
    for (const [head, names] of GROUPS) this.rest.append(
      make("section", { class: "field-group" }, make("h4", {}, head),
      grid(names), names.includes("spot") ? this.#boards() : null));
  }

  #boards() {
    const boards = this.fields.value().shots[this.number].boards;
    const { number } = this;
    const rows = boards.map((board, n) =>
      make("li", { class: "fields board-row" },
      ...["board", "side", "distance_m"].map((name) =>
      this.fields.make("PlacedBoard", name, [...this.path, "boards", n])),
      make("button", { type: "button", class: "quiet",
        "aria-label": SHOT.removeBoard(board.board), onclick: async ({ currentTarget }) => {
        currentTarget.disabled = true;
        currentTarget.disabled = await this.fields.save([{ take: ["shots", number, "boards", n] }]);
      } }, ROW.words.remove)));
    const known = this.fields.names.boards;
    const button = known.length ? make("button",
      { type: "button", class: "quiet", onclick: () =>
      this.fields.save([{ add: ["shots", number, "boards"], item: { board: known[0] } }]) }, SHOT.placeBoard)
      : make("p", { class: "soft small" }, SHOT.noBoards);
    return make("div", { class: "boards" }, rows.length ? make("ul", { class: "plain" }, ...rows) : null,
      button);
  }

  /** What is shown is of an earlier state of the file. */
  stale() {
    this.element.classList.add("stale");
    this.element.setAttribute("aria-busy", "true");
    this.state.textContent = SHOT.planning[Number(Boolean(this.shown))];
    this.picture.stale();
  }

  /** What is shown cannot be worked out anew before something is mended. */
  unplanned() {
    this.stale();
    this.element.classList.add("unplanned");
    this.state.textContent = SHOT.notPlanned;
  }

  /** What the day says of this shot. @param {ShotShown} reply */
  show(reply) {
    this.shown = true;
    this.element.classList.remove("stale", "unplanned");
    this.element.removeAttribute("aria-busy");
    this.state.textContent = "";
    this.when = reply.slot ? SHOT.hero(reply.slot.hero_words) : "";
    this.words(this.fields.value());
    const { card } = reply;
    this.sizes.textContent = card?.sizes ?? "";
    this.brief.textContent = !card ? reply.problem || SHOT.noHour : SHOT.brief(card);
    const amiss = !card || card.not_as_asked.length > 0 || reply.slot?.good_light === false;
    this.brief.classList.toggle("mind", amiss);
    if (card && amiss) this.brief.textContent = card.not_as_asked.length ? SHOT.notAskedAlone
      : reply.slot?.remarks[0] ?? SHOT.brief(card);
    if (!card) {
      this.setUp.replaceChildren(make("p", { class: "mind" }, reply.problem || SHOT.noHour));
      this.drawings.replaceChildren();
      this.more.replaceChildren();
      this.picture.none(PICTURE.noSetUp);
      return;
    }
    this.picture.shape(card.wide, card.high);
    if (!reply.light) this.picture.none(PICTURE.noWindow);
    const facts = Object.entries(SHOT.headline)
      .map(([key, name]) => make("div", {}, make("dt", {}, name),
      make("dd", {}, key === "iso" ? card.iso.replace(/^ISO /, "") : card[key])));
    this.setUp.replaceChildren(
      ...card.not_as_asked.map((words) =>
        make("p", { class: "mind first" }, make("strong", {}, SHOT.notAsked), words)),
      make("dl", { class: "headline number" }, ...facts),
      make("p", { class: "soft small" }, `${card.camera}, ${card.support}`),
      ...[...(reply.slot?.good_light === false ? reply.slot.remarks : []),
        ...card.minds].map((words) => make("p", { class: "mind" }, make("strong", {}, SHOT.mind), words)),
      ...card.cautions.map((words) => make("p", { class: "caution" }, words)),
    );
    this.drawings.replaceChildren(...Object.entries(SHOT.drawings)
      .map(([which, words]) => make("figure", {}, drawing(card[which]),
      make("figcaption", { class: "soft small" }, words))));
    const items = (lines) => make("ul", { class: "plain notes" },
      ...lines.map((words) => make("li", {}, words)));
    const list = ([name, head]) =>
      (card[name].length ? make("div", {}, make("h4", {}, head), items(card[name])) : null);
    const open = this.more.querySelector("details")?.open || false;
    this.more.replaceChildren(make("details", { open }, make("summary", {}, SHOT.figures),
      make("dl", { class: "facts number" },
        ...card.facts.map(({ code, name, value }) =>
        make("div", { "data-code": code }, make("dt", {}, name), make("dd", {}, value)))),
      make("div", { class: "more-lists" }, Object.entries(SHOT.lists).map(list))));
  }
}

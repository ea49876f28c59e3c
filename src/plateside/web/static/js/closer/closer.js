// The frame closely, while the dish is alive: pixel for pixel at its focus, what is clipped, its levels, its
// crops, the planned picture beside it, the test frame or a layout over it. All off at first, kept for each
// shot, gone by one press.
/** @import { CloserFacts, LevelsShown, Marks, SetScreen } from "../core/facts" */
import { ask } from "../core/ask.js";
import { all, make, one } from "../core/dom.js";
import { latest } from "../core/latest.js";
import { plain } from "../core/keys.js";
import { say } from "../core/say.js";
import { luminance } from "../set/marks.js";
import { Layouts, FIRST, stronger } from "./layout.js";
import { levelsCard } from "./levels.js";
import { crops, grid, level, marksOver, pictureOver, placed, within } from "./over.js";
import { Plane } from "./plane.js";
import { planned } from "./planned.js";
import { darkened, keptRoom, keepRoom, keptTools, keepTools, stopsDarker } from "./kept.js";
import { CLOSER } from "./words.js";

const ROWS = [["whole", "one", "two"], ["focus", "clipped", "levels", "marks", "crops", "grid", "level"],
  ["planned", "test", "layout"], ["room", "asIs"], ["hide"]];
const AS_IS_MS = 60000;

export class Closer {
  /** @type {CloserFacts | null} */
  #facts = null;
  /** @type {LevelsShown | null} */
  #levels = null;
  /** @type {Record<string, any>} */
  #tools = {};
  #hidden = false;
  #asIs = 0;
  #frame = "";
  #shot = "";
  #drawn = "";
  /** The planned picture's address; null until known, empty when there is none. @type {string | null} */
  #planned = null;

  /**
   * about: now() what the page knows, told() its word and act, marks() what is drawn on its frame,
   * facts() what is known of it, room() when the room is another, closed() afterwards.
   */
  constructor(about) {
    this.about = about;
    this.box = one("#closer");
    this.stage = one("#closer-stage");
    this.beside = one("#closer-beside");
    this.cards = one("#closer-cards");
    this.note = one("#closer-note");
    this.say = one("#say");
    this.over = make("div", { class: "over" });
    this.plane = new Plane(this.stage, { moved: () => this.#moved(), masked: () => this.#masks(),
      touched: (x, y) => (this.plane.zoom ? this.plane.whole() : this.#close(1, x, y)) });
    this.plane.plane.append(this.over);
    this.plane.base.addEventListener("load", () => { this.#light = luminance(this.plane.base); this.#draw(); });
    this.layouts = new Layouts((fresh) => { if (fresh) this.#set("layout", FIRST); this.#draw(); });
    this.#buttons();
    one("#closer-close").addEventListener("click", () => this.box.close());
    this.box.addEventListener("keydown", (event) => this.#key(event));
    for (const kind of ["pointerdown", "keydown"]) this.box.addEventListener(kind, () => this.#awake(), true);
    this.box.addEventListener("close", () => {
      this.#asIs = 0;
      this.place.append(this.say);
      about.closed();
    });
    this.facts = latest(() => this.#ask());
  }

  #light = 0.3;
  get isOpen() { return this.box.open; }

  close() { this.box.close(); }

  open() {
    this.place = this.say.parentElement;
    this.#hidden = false;
    this.#frame = "";
    this.plane.whole();
    this.box.showModal();
    this.stage.focus();
    // what is said while this lies over the page is said here
    one("#closer-head").after(this.say);
    this.filled();
  }

  /** What it shows may have changed: a new frame, its verdict, its marks. */
  filled() {
    if (!this.box.open) return;
    const { frame } = this.about.now(), told = this.about.told();
    one("#closer-said").textContent = CLOSER.said(told.word, told.act);
    // the frame before stays until the new one has its word: what is measured waits for that
    if ((frame?.word || frame?.chart) && frame.id !== this.#frame) this.#show(frame);
    else if (`${this.about.marks().marks.length} ${this.about.marks().changed.length}` !== this.#drawn) this.#draw();
  }

  #show(frame) {
    this.#frame = frame.id;
    const shot = frame.shot || this.about.now().current;
    if (shot !== this.#shot) this.#planned = null;
    this.#shot = shot;
    this.#tools = keptTools(this.about.now().title, this.#shot);
    this.#facts = this.#levels = null;
    one("#closer-name").textContent = frame.name;
    one("#closer-lacks").replaceChildren();
    this.plane.show(frame.id);
    if (this.plane.zoom) this.#size();
    this.facts();
    this.#draw();
  }

  async #ask() {
    const id = this.#frame, shot = this.#shot;
    try {
      // the picture first: what is asked next is read by the same process
      await this.plane.base.decode().catch(() => {});
      const facts = await this.about.facts();
      if (id !== this.#frame) return;
      this.#facts = facts;
      one("#closer-lacks").replaceChildren(...facts.lacks.map((words) => make("p", {}, words)));
      if (shot) await this.layouts.of(shot);
      if (this.#tools.planned) await this.#plan();
      if (this.#tools.levels || this.#tools.clipped) await this.#measure();
    } catch (error) { this.#planned ||= ""; say(error.message, null, 9000); }
    this.#draw();
  }

  async #plan() {
    const shot = this.#shot, found = await planned(shot);
    if (shot === this.#shot) this.#planned = found;
  }

  async #measure() {
    const id = this.#frame;
    if (this.#levels) return;
    const levels = await ask(`/set/closer/${id}/levels`);
    if (id === this.#frame) this.#levels = levels;
  }

  /** How large the frame is: its file is read for it. */
  async #size() {
    const id = this.#frame;
    try {
      const size = await ask(`/set/closer/${id}/size`);
      if (id !== this.#frame) return;
      this.plane.size = size;
      this.plane.draw();
    } catch (error) { say(error.message, null, 9000); }
  }

  /* ---- presses --------------------------------------------------------------------------------------- */

  #buttons() {
    const button = (name) => make("button", { type: "button", "data-tool": name, title: CLOSER.about[name],
      onclick: () => this.#press(name) }, CLOSER.tools[name]);
    one("#closer-tools").replaceChildren(
      ...ROWS.map((row) => make("div", { class: "tools-part" }, row.map(button))));
  }

  #press(name) {
    switch (name) {
      case "whole": this.plane.whole(); break;
      case "one": case "two": this.#close(name === "one" ? 1 : 2); break;
      case "hide": this.#hidden = !this.#hidden; break;
      case "room":
        // from as it is, back to the room that it was
        if (!this.#asIs) keepRoom(keptRoom() === "lit" ? "dark" : "lit");
        this.#asIs = 0;
        this.about.room();
        break;
      case "asIs": this.#asIs = this.#asIs ? 0 : Date.now(); this.#awake(); break;
      case "layout":
        if (!this.layouts.now?.key) { this.layouts.choose(this.#shot); return; }
        this.#set("layout", this.#hidden ? this.#tools.layout || FIRST : stronger(this.#tools.layout || 0));
        break;
      default: this.#toggle(name); return;
    }
    this.#draw();
  }

  async #toggle(name) {
    const why = this.#cannot(name);
    if (why) { say(why, null, 6000); return; }
    // pressed while all is hidden: that one is wanted
    this.#set(name, this.#hidden ? true : this.#tools[name] ? false : name === "clipped" ? "any" : true);
    this.#draw();
    if (!this.#tools[name]) return;
    try {
      if (name === "levels" || name === "clipped") await this.#measure();
      if (name === "planned") {
        this.plane.whole();
        await this.#plan();
        if (this.#planned === "") { this.#set("planned", false); say(CLOSER.noPlanned, null, 6000); }
      }
    } catch (error) { this.#planned ||= ""; say(error.message, null, 9000); }
    this.#draw();
  }

  #set(name, value) {
    this.#hidden = false;
    this.#tools = { ...this.#tools, [name]: value };
    keepTools(this.about.now().title, this.#shot, this.#tools);
    if (["focus", "clipped"].includes(name)) this.plane.draw();
  }

  /** Why there is nothing to show; empty when there is, or while it is not known. */
  #cannot(name) {
    if (!this.#facts) return "";
    if (name === "test" && !this.#facts.test_over) return this.#facts.test_words;
    if (name === "level" && this.#facts.roll_deg === null) return CLOSER.noLevel;
    if (name === "crops" && !this.#facts.crops.length) return CLOSER.noCrops;
    return "";
  }

  /** Pixel for pixel, at a place of the frame or where its focus is marked. */
  async #close(zoom, x = undefined, y = undefined) {
    const at = x === undefined ? this.#focus() : [x, y];
    if (this.plane.zoom && x === undefined) at.splice(0, 2, this.plane.x, this.plane.y);
    this.plane.close(zoom, at[0], at[1]);
    this.#draw();
    if (!this.plane.size) await this.#size();
  }

  /** Where the focus is wanted, else where it is, else the middle. */
  #focus() {
    const { marks } = this.about.marks(), of = (code) => marks.find((mark) => mark.code === code);
    const { box } = of("softer") || of("wanted") || of("sharpest") || { box: [0.5, 0.5, 0.5, 0.5] };
    return [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2];
  }

  #key(event) {
    if (!plain(event) || event.target.matches("input")) return;
    const own = { 0: "whole", 1: "one", 2: "two", h: "hide", H: "hide" }[event.key];
    if (own) this.#press(own);
    else if (!this.plane.key(event)) return;
    event.preventDefault();
    event.stopPropagation();
  }

  /** A bright screen is a lamp beside the dish: as it is lasts while somebody looks. */
  #awake() {
    if (!this.#asIs) return;
    const pressedAt = this.#asIs = Date.now();
    setTimeout(() => { if (this.#asIs === pressedAt) { this.#asIs = 0; this.#draw(); } }, AS_IS_MS);
  }

  /* ---- drawing --------------------------------------------------------------------------------------- */

  #masks() {
    if (this.#hidden) return [];
    return [this.#tools.clipped, this.#tools.focus ? "sharp" : ""].filter(Boolean);
  }

  #moved() {
    const { size, zoom } = this.plane;
    one("#closer-size").textContent = !zoom ? ""
      : size ? CLOSER.fullSize(zoom * 100, size.wide, size.high) : CLOSER.fetching;
    for (const [name, of] of [["whole", 0], ["one", 1], ["two", 2]]) {
      const button = this.box.querySelector(`[data-tool=${name}]`);
      button?.setAttribute("aria-pressed", String(zoom === of));
    }
    if (!this.#frame || this.#drawnAt === `${zoom}`) return;
    this.#drawnAt = `${zoom}`;
    this.plane.masksChanged();
    this.#lay();
  }

  #drawnAt = "";

  #draw() {
    if (!this.box.open || !this.#frame) return;
    const marks = this.about.marks();
    this.#drawn = `${marks.marks.length} ${marks.changed.length}`;
    const share = Math.min(1, this.plane.shown[0] * this.plane.shown[1] / (innerWidth * innerHeight));
    const dim = this.#asIs ? 1 : darkened(keptRoom(), this.#light, share);
    this.box.style.setProperty("--look", dim.toFixed(3));
    this.note.textContent = dim === 1 ? CLOSER.asItIs : CLOSER.darker(stopsDarker(dim));
    this.box.classList.toggle("bare", this.#hidden);
    for (const button of all("[data-tool]", this.box)) this.#drawButton(button);
    const beside = this.#planned !== "" && this.#tools.planned;
    this.stage.parentElement.classList.toggle("two", Boolean(beside && !this.#hidden));
    const picture = this.#planned && make("img", { alt: CLOSER.planned, src: this.#planned });
    const words = make("figcaption", {}, picture ? CLOSER.planned : CLOSER.fetchingPlanned);
    this.beside.replaceChildren(...(beside ? [picture, words].filter(Boolean) : []));
    this.cards.replaceChildren(...this.#drawnCards());
    this.#lay();
    this.plane.draw();
    this.plane.masksChanged();
  }

  #drawButton(button) {
    const name = button.dataset.tool;
    if (["whole", "one", "two"].includes(name)) return;
    const on = { room: !this.#asIs, asIs: Boolean(this.#asIs), hide: this.#hidden }[name];
    const there = name !== "layout" || Boolean(this.layouts.now?.key);
    const pressed = on === undefined ? Boolean(this.#tools[name]) && !this.#hidden && there : on;
    if (name === "room") button.textContent = CLOSER.room[keptRoom()];
    button.setAttribute("aria-pressed", String(pressed));
    button.setAttribute("aria-disabled", String(Boolean(this.#cannot(name))));
    if (name === "layout") {
      button.textContent = CLOSER.layout(pressed ? this.#tools.layout : 0);
      button.title = this.layouts.now?.key ? "" : CLOSER.choose;
    }
  }

  #drawnCards() {
    const cards = [];
    if (this.#tools.levels && this.#levels) {
      const choose = (which) => { this.#set("clipped", which); this.#draw(); };
      cards.push(levelsCard(this.#levels, this.#tools.clipped || "", choose));
    }
    if (this.#tools.layout && this.layouts.now?.key) cards.push(this.layouts.strip(this.#shot));
    return cards;
  }

  /** All that lies over the frame itself. */
  #lay() {
    const tools = this.#tools, facts = this.#facts, { base } = this.plane, out = [];
    const marks = this.about.marks(), every = [...marks.marks, ...marks.changed];
    if (facts && tools.test && facts.test_over) {
      out.push(pictureOver("test", `/frames/${facts.test_frame}/view.jpg`, facts.test_over, 0.5));
    }
    if (tools.layout && this.layouts.address) out.push(this.#layout(base));
    if (facts && tools.crops) out.push(...crops(facts));
    if (tools.grid) out.push(...grid());
    if (facts && tools.level && facts.roll_deg !== null) out.push(...level(facts.roll_deg));
    const kinds = [...(tools.focus ? ["sharpest", "wanted"] : []),
      ...(tools.marks ? ["wanted", "lamp", "changed", "card"] : [])];
    if (kinds.length && marks.frame === this.#frame) {
      out.push(marksOver(base, every.filter((mark) => kinds.includes(mark.kind))));
    }
    this.over.replaceChildren(...out);
  }

  #layout(base) {
    const image = pictureOver("layout", this.layouts.address, [0, 0, 1, 1], this.#tools.layout);
    // its own shape is known once it is there
    image.addEventListener("load", () => {
      const shape = (of) => of.naturalWidth / of.naturalHeight;
      placed(image, within(shape(image), shape(base)));
    });
    return image;
  }
}

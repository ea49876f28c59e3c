// One picture on the Deliver page: its crops, channel by channel, and its words.
/** @import { ChannelShown, CropShown, CropsShown, DeliverShown } from "../core/facts" */
/** @import { PictureToCrop, ShotDelivered } from "../core/facts" */
import { ask, tell } from "../core/ask.js";
import { draw, make } from "../core/dom.js";
import { press, takeBack } from "../core/press.js";
import { CropEditor } from "./crop.js";
import { DishPlace } from "./dish.js";
import { Said } from "./said.js";
import { WordsEditor } from "./describe.js";
import { LINKS, PICTURE, SAID } from "./words.js";

export class Picture {
  /** @param {ShotDelivered} shot @param {DeliverShown} reply @param {() => void} changed */
  constructor(shot, reply, changed) {
    this.shot = shot;
    this.reply = reply;
    this.changed = changed;
    /** @type {CropsShown | null} */
    this.planned = null;
    this.marking = 0;
    /** None before the picture is finished. @type {CropEditor} */
    this.editor = /** @type {any} */ (null);
    this.at = shot.channels[0] || "";
    this.words = new WordsEditor(shot,
      { aim: reply.aim_characters, most: reply.most_characters, hints: reply.hints }, changed);
    this.tabs = make("div", { class: "places", role: "group", "aria-label": PICTURE.channels(shot.name) });
    this.stage = make("div", { class: "stage" });
    this.remarks = make("ul", { class: "plain remarks", "aria-live": "polite" });
    this.facts = make("p", { class: "small soft number facts-line" });
    this.reset = make("button", { type: "button", class: "quiet", onclick: () => this.#reset() },
      PICTURE.planned);
    this.said = new Said();
    this.dish = new DishPlace({
      name: shot.name, said: reply.dish_words,
      hold: (on) => {
        this.editor.hold(on ? "dish" : "crop");
        this.#show();
        (on ? this.editor.dish : this.dish.move).focus({ preventScroll: true });
      },
      put: (box) => {
        this.editor.setDish(box);
        this.#mark(this.editor.dishBox);
      }, again: () => { this.#mark(null); this.dish.move.focus(); },
    });
    this.notes = make("div", {});
    this.element = make("section",
      { class: "delivered", id: `shot-${shot.name}`, "aria-labelledby": `name-${shot.name}` },
      make("h2", { id: `name-${shot.name}` }, shot.name), this.notes,
      make("div", { class: "picture-and-words" },
        make("div", {}, this.tabs, this.stage,
          make("div", { class: "row under-crop" }, this.facts, this.reset),
          this.dish.element, this.said.element, this.remarks),
        this.words.element));
    this.take(shot, reply);
    // where the dish is takes a second of work: only for pictures that somebody looks at
    this.near = new IntersectionObserver((entries) => { if (entries.some((s) => s.isIntersecting)) {
      this.near.disconnect();
      this.#plan();
    } }, { rootMargin: "600px" });
    this.near.observe(this.element);
  }

  /** The shot as it now is. @param {ShotDelivered} shot @param {DeliverShown} reply */
  take(shot, reply) {
    const before = this.shot.picture?.version;
    this.shot = shot;
    this.reply = reply;
    this.words.take(shot.words);
    this.notes.replaceChildren(
      ...shot.notes.map((note) => make("p", { class: "mind", "data-code": note.code }, note.words,
        ...(LINKS[note.code]
        ? [" ", make("a", { href: LINKS[note.code][0].replace("{shot}", shot.name) }, LINKS[note.code][1])]
        : []))),
    );
    if (!shot.picture) { this.#notYet(); return; }
    if (!this.editor || before !== shot.picture.version) {
      this.editor = new CropEditor({
        name: PICTURE.whole(shot.name), wide: shot.picture.width_px, high: shot.picture.height_px,
        src: `/finish/pictures/${encodeURIComponent(shot.name)}/view.jpg?v=${shot.picture.version}`,
        moved: () => this.#showFacts(), left: (box) => this.#press(box),
        dish: { moved: (box) => { this.dish.moved(box); this.#showFacts(); },
          left: (box) => this.#mark(box) },
      });
      this.dish.on = false;
      this.stage.replaceChildren(this.editor.element);
      if (before !== shot.picture.version) { this.planned = null; this.#plan(); }
    }
    this.#show();
  }

  /** Before it is finished: what there is, where it will go, and what comes next. */
  #notYet() {
    const { shot } = this, { select } = shot;
    this.editor = /** @type {any} */ (null);
    this.planned = null;
    this.tabs.replaceChildren(); this.facts.textContent = "";
      this.reset.hidden = true; this.remarks.replaceChildren();
    this.dish.show(null, false);
    const goes = shot.channels.map((name) => this.channel(name)),
      shapes = make("ul", { class: "plain will-go" },
      goes.map((c) => make("li", {}, shape(c),
      make("span", {}, c.name,
      make("span", { class: "small soft number" }, ` ${SAID.pixels(c.width_px, c.height_px)}`)))));
    let there = make("p", {}, shot.as_taken, " ", make("a", { href: "/set" }, PICTURE.photograph));
    if (select) {
      const img = make("img", { alt: PICTURE.notFinished(select.name), class: "not-yet" });
      img.loading = "lazy";
      img.src = `/frames/${select.id}/view.jpg`;
      there = [img, make("p", { class: "small soft" }, shot.as_taken),
        make("p", {},
          ...(select.by_you ? [] : [make("a", { href: "/choose" }, PICTURE.choose[0]), PICTURE.choose[1]]),
          make("a", { href: "/finish" }, PICTURE.finish[select.by_you ? "now" : "then"]))];
    }
    this.stage.replaceChildren(make("div", { class: "not-finished" }, make("div", {}, there),
      make("div", {}, make("p", { class: "small soft" }, PICTURE.crops[Number(goes.length > 0)]), shapes)));
  }

  async #plan(anew = false) {
    if (!this.shot.picture || ((this.planned || this.waiting) && !anew)) return;
    const turn = (this.turn = (this.turn || 0) + 1);
    this.waiting = true;
    if (!this.planned) this.remarks.replaceChildren(make("li", { class: "soft" }, PICTURE.finding));
    try {
      const planned = await ask(`/deliver/crops/${encodeURIComponent(this.shot.name)}`);
      // asked again meanwhile, or about to be: that answer is the newer one
      if (turn !== this.turn || this.marking) return;
      this.planned = planned;
      this.#show();
    } catch (error) { if (turn === this.turn) this.remarks.replaceChildren(make("li", {}, error.message)); }
    if (turn === this.turn) this.waiting = false;
  }

  channel(name = this.at) {
    return /** @type {ChannelShown} */ (this.reply.channels.find((c) => c.name === name));
  }

  get #size() { return /** @type {PictureToCrop} */ (this.shot.picture); }

  yours(name = this.at) { return this.shot.crops[name]; }

  /** Your crop, else the planned one, else the largest of that shape in the middle. */
  box(name) {
    const yours = this.yours(name), planned = this.planned?.channels[name]?.box;
    const channel = this.channel(name), { width_px: w, height_px: h } = this.#size;
    const ratio = (channel.height_px / channel.width_px) * (w / h), wide = Math.min(1, 1 / ratio);
    const middle = [(1 - wide) / 2, (1 - wide * ratio) / 2, wide, wide * ratio];
    if (!yours) return planned || middle;
    // drawn to the channel's shape inside what was marked, as the delivery does
    const own = Math.min(yours[2], yours[3] / ratio);
    return [yours[0] + (yours[2] - own) / 2, yours[1] + (yours[3] - own * ratio) / 2, own, own * ratio];
  }

  #show() {
    const focused = this.tabs.contains(document.activeElement);
    this.tabs.replaceChildren(...this.shot.channels.map((name) => {
      const c = this.channel(name);
      return make("button", { type: "button", "aria-pressed": String(name === this.at), onclick: () => {
        this.editor?.flush();
        this.at = name;
        this.#show();
      } },
        shape(c),
        make("span", {}, name, make("span", { class: "small soft" }, this.yours(name) ? PICTURE.yours : "")));
    }));
    if (focused) this.tabs.querySelector('[aria-pressed="true"]')?.focus();
    if (!this.at || !this.editor) return;
    this.editor.show(this.channel(), this.box(this.at), this.planned?.dish, this.planned?.dish_by_you);
    this.dish.show(this.planned?.dish || null, this.planned?.dish_by_you);
    this.reset.hidden = !this.yours();
    this.#showFacts();
    if (this.planned && !this.yours()) this.#tellOf(this.planned.channels[this.at].remarks);
    else if (this.planned) this.#said(this.editor.box);
  }

  /** At once, by the page's own arithmetic: pixels, and whether the dish is whole. */
  #showFacts() {
    const c = this.channel(), [x, y, w, h] = this.editor.box, { width_px, height_px } = this.#size;
    const wide = Math.round(w * width_px), high = Math.round(h * height_px),
      enough = wide >= c.width_px && high >= c.height_px;
    this.facts.textContent = PICTURE.gives(wide, high, c, enough);
    const dish = this.planned && this.editor.dishBox;
    const inside = !dish || (dish[0] >= x - 0.002
      && dish[1] >= y - 0.002 && dish[0] + dish[2] <= x + w + 0.002 && dish[1] + dish[3] <= y + h + 0.002);
    this.editor.element.classList.toggle("cuts", !inside);
  }

  /** @param {CropShown["remarks"]} remarks */
  #tellOf(remarks) {
    this.remarks.replaceChildren(...remarks.map((r) => make("li", { "data-code": r.code }, r.words)));
  }

  async #said(box) {
    const number = (this.number = (this.number || 0) + 1), channel = this.at;
    try {
      const reply = await tell("/deliver/crop", { shot: this.shot.name, channel, box });
      if (number === this.number && channel === this.at) this.#tellOf(reply.remarks);
    } catch (error) { if (error.status) this.#tellOf([{ code: "", words: error.message }]); }
  }

  async #press(box) {
    const channel = this.at, rounded = box === null ? null : box.map((v) => Math.round(v * 1e6) / 1e6);
    // at once: where a crop was left last is where it goes on from, while an earlier one is still being
    // written
    if (rounded) this.shot.crops[channel] = rounded; else delete this.shot.crops[channel];
    try {
      const reply = await press("crop", { shot: this.shot.name, channel, box: rounded });
      this.said.say(reply.said, { words: PICTURE.undo, do: () => this.#undo() });
    } catch (error) {
      const row = error.reply?.row;
      if (row?.data.box) this.shot.crops[channel] = row.data.box;
        else if (row) delete this.shot.crops[channel];
      this.said.say(error.message);
    }
    const focused = this.editor.element.contains(document.activeElement);
    this.#show();
    if (focused) this.editor.frame.focus({ preventScroll: true });
    this.changed();
  }

  /** Where you marked the dish; null: where it is found. Your own crops stay, the planned ones follow. */
  async #mark(box) {
    const rounded = box === null ? null : box.map((v) => Math.round(v * 1e6) / 1e6);
    this.marking += 1;
    try {
      if (rounded && this.planned) Object.assign(this.planned, { dish: rounded, dish_by_you: true });
      const reply = await press("dish", { shot: this.shot.name, box: rounded });
      this.said.say(reply.said, { words: PICTURE.undo, do: () => this.#undo() });
    } catch (error) {
      this.said.say(error.message);
    }
    this.marking -= 1;
    await this.marked();
    this.changed();
  }

  /** The place of the dish was decided, here or on another screen: the planned crops are made anew. */
  async marked() { if (this.planned && !this.marking) await this.#plan(true); }

  #reset() { this.editor.frame.focus({ preventScroll: true }); this.#press(null); }

  async #undo() {
    try {
      const reply = await takeBack();
      this.said.say(reply.said);
    } catch (error) { this.said.say(error.message); }
    await this.marked();
    this.changed();
  }
}

/** The outline of a channel's shape. @param {ChannelShown} channel */
function shape({ width_px, height_px }) {
  const long = Math.max(width_px, height_px), w = 26 * width_px / long, h = 26 * height_px / long;
  return draw("svg", { viewBox: "0 0 28 28", width: 28, height: 28, "aria-hidden": "true" },
    draw("rect", { x: 14 - w / 2, y: 14 - h / 2,
    width: w, height: h, fill: "none", stroke: "currentColor", "stroke-width": 1.5 }));
}

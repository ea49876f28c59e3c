// Sheets of frames by shot. Whole rows are built as they come near, a few at a time, so that scrolling never
// waits;
// what the server has drawn already is taken over as it stands.
import { focused, make, settled } from "../core/dom.js";
import { blank, fill } from "./cards.js";
import { SmallPictures } from "./small_pictures.js";
import { SAID } from "./words.js";

const NEAR = "1200px 0px";
const FEW = 16;
/** At most so long [ms] are rows built between two pictures of the screen; one is always built. */
const BUILD_MS = 4;
/**
 * Wider than this [px of the screen], a picture of a strip (192 wide) looks soft: its own is laid over it.
 */
const SOFT = 230;
const LATER_MS = 1500;
/** A block's own edge [px], where the ring about a card finds room. */
const EDGE = 7;

export class Sheets {
  /** picked(frame, how): how is "at" (moved there) or "open" (pressed again, or Enter). */
  constructor(place, jump, frames, picked) {
    this.place = place;
    this.jump = jump;
    this.frames = frames;
    this.picked = picked;
    /** @type {(frame: any) => boolean} */
    this.fits = () => true;
    this.at = "";
    this.cards = new Map();
    /** @type {any[]} */
    this.blocks = [];
    this.blockOf = new Map();
    /** @type {any[]} */
    this.groups = [];
    /** @type {string[]} */
    this.order = [];
    /** @type {any[]} */
    this.empty = [];
    this.columns = this.high = this.between = 1;
    this.sharp = false;
    this.ticked = new Set();
    this.queue = new Set();
    this.tops = new Map();
    this.near = new IntersectionObserver((entries) => {
      for (const { target, isIntersecting, boundingClientRect } of entries) {
        if (isIntersecting) {
          this.tops.set(target, boundingClientRect.top + scrollY);
          this.queue.add(target);
        } else this.queue.delete(target);
      }
      this.#soon();
    }, { rootMargin: NEAR });
    this.pictures = new SmallPictures(frames, {
      box: (id) => this.cards.get(id)?.getBoundingClientRect(), made: (ids) => this.refresh(ids) });
    this.sharpen = settled(200, () => this.#sharpen());
    place.addEventListener("keydown", (event) => this.#keys(event));
    place.addEventListener("focusin", (event) => {
      const card = event.target.closest?.("button.frame");
      if (card) this.#go(card.dataset.frame, false);
    });
    const pressed = (how) => (event) => {
      const card = event.target.closest("button.frame");
      if (card) this.picked(this.frames.frames.get(card.dataset.frame), how);
    };
    place.addEventListener("click", pressed("at"));
    place.addEventListener("dblclick", pressed("open"));
    addEventListener("scroll", () => { if (this.sharp) this.sharpen(); }, { passive: true });
  }

  // ---- drawing
  // ---------------------------------------------------------------------------------------------

  /** Take over what the server has drawn. */
  adopt() {
    const focusedId = focused()?.dataset.frame;
    this.#begin();
    for (const section of this.place.children) {
      const name = section.querySelector(".proposal").dataset.shot, block = section.querySelector(".block");
      const group = this.#group(name, section, this.frames.of(name));
      if (block) this.#takeOver(block, group.ids.length);
      this.#blocks(group, block?.ids.length || 0);
    }
    this.#end();
    this.refresh([...this.cards.keys()]);
    if (focusedId && focused()?.dataset.frame !== focusedId) this.#focus(focusedId);
  }

  #takeOver(block, many) {
    block.ids = [...block.children].map((card) => card.firstChild.dataset.frame);
    block.ids.forEach((id, n) => this.cards.set(id, block.children[n]));
    // whole rows only: what follows begins a row of its own
    const over = block.ids.length < many ? block.ids.length % this.columns : 0;
    for (const id of over ? block.ids.splice(-over) : []) {
      this.cards.get(id).remove();
      this.cards.delete(id);
    }
    if (block.ids.length) this.#known(block); else block.remove();
    this.pictures.need(block.ids);
  }

  /** Draw all sheets anew; the frame one was at stays. */
  draw() {
    const top = scrollY, had = this.place.contains(document.activeElement);
    this.#begin();
    const links = [], sections = [];
    for (const name of [...this.frames.shots.map((s) => s.name), ""]) {
      const all = this.frames.of(name);
      if (!name && !all.length) continue;
      const id = `shot-${name || "none"}`;
      links.push(make("a", { href: `#${id}`, class: "button" },
        name || SAID.ofNoShot[0], make("span", { class: "soft number" }, ` ${all.length}`)));
      const section = this.#section(id, name, all), group = this.#group(name, section, all.filter(this.fits));
      if (!group.ids.length) section.append(
        make("p", { class: "soft" }, all.length ? SAID.hidden : SAID.noFrame));
      this.#blocks(group, 0);
      sections.push(section);
    }
    this.place.replaceChildren(...sections);
    this.jump.replaceChildren(...links);
    scrollTo(0, top);
    this.#end();
    if (had && this.at) this.#focus(this.at);
  }

  /** The window has another width: drawn anew only when other columns come of it. */
  resized() {
    const before = `${this.columns} ${this.sharp}`;
    this.#measure();
    if (before === `${this.columns} ${this.sharp}`) {
      for (const block of this.blocks) this.#known(block);
      return false;
    }
    this.draw();
    return true;
  }

  #begin() {
    this.near.disconnect();
    this.queue.clear();
    this.cards = new Map();
    this.blocks = [];
    this.blockOf = new Map();
    this.groups = [];
    this.order = [];
    this.#measure();
  }

  #group(name, section, frames) {
    const group = { name, section, ids: frames.map((f) => f.id) };
    this.groups.push(group);
    this.order.push(...group.ids);
    return group;
  }

  #end() {
    if (!this.frames.frames.has(this.at) || !this.order.includes(this.at)) this.at = this.order[0] || "";
    // looked at first, built afterwards: the page is measured once
    const empty = this.blocks.filter((block) => !block.firstChild),
      tops = empty.map((block) => block.getBoundingClientRect().top);
    empty.forEach((block, n) => {
      if (tops[n] < innerHeight && tops[n] > -innerHeight) this.#build(block);
      else this.near.observe(block);
    });
    this.empty = empty.filter((block) => !block.firstChild);
    this.#ahead();
    this.#tabStop();
    this.#remember();
    if (this.sharp) this.sharpen();
    // a hand takes a second to begin: not in the first one of the page
    setTimeout(() => this.pictures.join(), LATER_MS);
  }

  #section(id, name, all) {
    const good = all.filter((f) => f.word === "good").length,
      keptCount = all.filter((f) => f.pressed === "kept").length;
    return make("section", { class: "sheet", id, "aria-labelledby": `${id}-name` },
      make("div", { class: "sheet-head" },
        make("h2", { id: `${id}-name` }, name || SAID.ofNoShot[1]),
        make("p", { class: "soft small number" }, SAID.sheet(all.length, good, keptCount)),
      ),
      make("div", { class: "proposal", "data-shot": name }),
    );
  }

  /** Empty blocks of whole rows for a group's frames from `done` on. */
  #blocks(group, done) {
    const many = this.columns * Math.max(1, Math.round(FEW / this.columns));
    for (let from = done; from < group.ids.length; from += many) {
      const block = make("ul", { class: "block plain" });
      block.ids = group.ids.slice(from, from + many);
      this.#known(block);
      group.section.append(block);
    }
  }

  /** As high as it will be, so that nothing jumps when it is built. */
  #known(block) {
    const high = Math.ceil(block.ids.length / this.columns) * this.high - this.between;
    block.style.containIntrinsicBlockSize = `auto ${high}px`;
    block.style.minHeight = block.firstChild ? "" : `${high + 2 * EDGE}px`;
    if (this.blockOf.get(block.ids[0]) === block) return;
    this.blocks.push(block);
    for (const id of block.ids) this.blockOf.set(id, block);
  }

  /** Columns and the height of a row, as the style sheet makes them. */
  #measure() {
    const style = getComputedStyle(this.place),
      reply = (name) => parseFloat(style.getPropertyValue(name)) || 0;
    const wide = this.place.clientWidth, gap = this.between = reply("--between");
    this.columns = Math.max(1, Math.floor((wide + gap) / (reply("--wide") + gap)));
    const cell = (wide - gap * (this.columns - 1)) / this.columns;
    this.high = cell * 2 / 3 + reply("--foot") + gap;
    this.sharp = cell * devicePixelRatio > SOFT;
  }

  /** Next time the server draws as many as fill this window. */
  #remember() {
    const size = this.place.closest("[data-pictures]").dataset.pictures,
      many = this.columns * Math.ceil(innerHeight / this.high);
    document.cookie = `plateside_sheets=${size}.${many}; path=/choose; max-age=31536000; samesite=lax`;
  }

  #soon() {
    if (this.building || !this.queue.size) return;
    this.building = requestAnimationFrame(() => {
      this.building = 0;
      const middle = scrollY + innerHeight / 2, until = performance.now() + BUILD_MS;
      const next = [...this.queue].sort((a, b) =>
        Math.abs(this.tops.get(a) - middle) - Math.abs(this.tops.get(b) - middle));
      for (const block of next) {
        this.#build(block);
        if (performance.now() > until) break;
      }
      this.#soon();
    });
  }

  /**
   * While nobody does anything the rest is built as well: then scrolling has nothing left to do but to
   * scroll.
   */
  #ahead() {
    if (!window.requestIdleCallback || this.waiting) return;
    this.waiting = requestIdleCallback((idle) => {
      this.waiting = 0;
      if (!this.queue.size && idle.timeRemaining() > 2) for (
        const block of this.empty.splice(0, 2)) if (!block.firstChild) this.#cards(block);
      if (this.empty.length) this.#ahead();
    });
  }

  #build(block) {
    this.near.unobserve(block);
    this.queue.delete(block);
    this.#cards(block);
    this.pictures.need(block.ids);
    if (this.sharp) this.sharpen();
  }

  #cards(block) {
    if (block.firstChild) return;
    const cards = block.ids.map((id) => {
      const card = blank(), frame = this.frames.frames.get(id);
      this.cards.set(id, card);
      this.#fill(card, frame);
      if (id === this.at) this.#stop(card);
      return card;
    });
    block.append(...cards);
    block.style.minHeight = "";
  }

  #fill(card, frame, close = false) {
    const strip = this.frames.strip(frame);
    fill(card, frame, {
      part: this.frames.part(frame), at: frame.id === this.at,
        ticked: this.ticked.has(frame.id), refused: this.pictures.refused.has(frame.id),
      strip, place: frame.place % this.frames.cells, single: frame.thumbnail && (!strip || close),
    });
  }

  /** Once it is quiet, what is in sight gets its own picture where a strip's looks soft. */
  #sharpen() {
    if (!this.sharp) return;
    const near = this.blocks.filter((block) => block.firstChild)
      .map((block) => [block, block.getBoundingClientRect()]);
    for (const [block, box] of near) {
      if (box.bottom < -200 || box.top > innerHeight + 200) continue;
      for (const id of block.ids) this.#fill(this.cards.get(id), this.frames.frames.get(id), true);
    }
  }

  /** These frames are other than before. */
  refresh(ids) {
    for (const id of ids) {
      const card = this.cards.get(id), frame = this.frames.frames.get(id);
      if (card && frame) this.#fill(card, frame);
    }
  }

  // ---- where one is
  // ----------------------------------------------------------------------------------------

  #stop(card) {
    if (this.stop) this.stop.firstChild.tabIndex = -1;
    this.stop = card;
    if (card) card.firstChild.tabIndex = 0;
  }

  #tabStop() {
    const card = this.cards.get(this.at);
    if (card !== this.stop) this.#stop(card);
  }

  #focus(id) {
    const block = this.blockOf.get(id);
    if (block) this.#build(block);
    const card = this.cards.get(id)?.firstChild;
    card?.focus({ preventScroll: true });
    card?.scrollIntoView({ block: "nearest" });
  }

  /** Be at a frame. */
  #go(id, focus = true) {
    if (!id) return;
    if (id !== this.at) {
      const before = this.at;
      this.at = id;
      if (focus) this.#focus(id);
      this.#tabStop();
      this.refresh([before, id]);
      this.picked(this.frames.frames.get(id), "at");
    } else if (focus) this.#focus(id);
  }

  go(id) { this.#go(id); }

  #keys(event) {
    if (event.altKey || event.ctrlKey || event.metaKey || !event.target.closest?.("button.frame")) return;
    const at = this.order.indexOf(this.at);
    let to = null;
    switch (event.key) {
      case "ArrowRight": to = at + 1; break;
      case "ArrowLeft": to = at - 1; break;
      case "ArrowDown": to = this.#above(at, 1); break;
      case "ArrowUp": to = this.#above(at, -1); break;
      case "Home": to = 0; break;
      case "End": to = this.order.length - 1; break;
      case "Enter": event.preventDefault(); this.picked(this.frames.frames.get(this.at), "open"); return;
      default: return;
    }
    event.preventDefault();
    this.#go(this.order[Math.min(Math.max(to, 0), this.order.length - 1)]);
  }

  /**
   * Place in the order of the frame in the row above (-1) or below (1), in the same column or the last before
   * it.
   */
  #above(at, way) {
    const groups = this.groups.filter((g) => g.ids.length),
      n = groups.findIndex((g) => g.ids.includes(this.at));
    if (n < 0) return at;
    const many = groups[n].ids.length, own = groups[n].ids.indexOf(this.at), first = at - own;
    const rows = Math.ceil(many / this.columns),
      row = Math.floor(own / this.columns) + way, column = own % this.columns;
    if (row >= 0 && row < rows) return first + Math.min(row * this.columns + column, many - 1);
    const other = groups[n + way];
    if (!other) return at;
    if (way > 0) return first + many + Math.min(column, other.ids.length - 1);
    const last = Math.ceil(other.ids.length / this.columns) - 1;
    return first - other.ids.length + Math.min(last * this.columns + column, other.ids.length - 1);
  }
}

// Sheets of frames by shot. Built in blocks as they come near, small pictures made as they are needed: two thousand
// frames are as light as fifty.
import { work } from "./core/ask.js";
import { make } from "./core/dom.js";
import { mark, shape, spoken } from "./choose-marks.js";

const BLOCK = 36;
const AT_ONCE = 24;
const NEAR = "1200px 0px";

export class Sheets {
  /** picked(frame, how): how is "at" (moved there) or "open" (pressed again, or Enter). */
  constructor(place, jump, frames, picked) {
    Object.assign(this, { place, jump, frames, picked });
    this.cards = new Map();
    this.fits = () => true;
    this.at = "";
    this.ticked = new Set();
    this.near = new IntersectionObserver((seen) => {
      for (const one of seen) if (one.isIntersecting) this.#build(one.target);
    }, { rootMargin: NEAR });
    this.wanted = new Set();
    this.refused = new Set();
    place.addEventListener("keydown", (event) => this.#keys(event));
    place.addEventListener("focusin", (event) => {
      const card = event.target.closest?.("button.frame");
      if (card) this.#go(card.dataset.frame, false);
    });
    place.addEventListener("click", (event) => {
      const card = event.target.closest("button.frame");
      if (card) this.picked(this.frames.frames.get(card.dataset.frame), "at");
    });
    place.addEventListener("dblclick", (event) => {
      const card = event.target.closest("button.frame");
      if (card) this.picked(this.frames.frames.get(card.dataset.frame), "open");
    });
  }

  /** Draw all sheets anew; the frame one was at stays. */
  draw() {
    const top = scrollY, had = this.place.contains(document.activeElement);
    this.near.disconnect();
    this.cards.clear();
    this.order = [];
    const groups = [...this.frames.shots.map((s) => [s.name, s]), ["", null]];
    const parts = [], links = [];
    for (const [name] of groups) {
      const all = this.frames.of(name), shown = all.filter(this.fits);
      if (!name && !all.length) continue;
      const id = `shot-${name || "none"}`;
      links.push(make("a", { href: `#${id}`, class: "button" }, name || "of no shot", make("span", { class: "soft number" }, ` ${all.length}`)));
      parts.push(this.#sheet(id, name, all, shown));
      this.order.push(...shown.map((f) => f.id));
    }
    this.place.replaceChildren(...parts);
    this.jump.replaceChildren(...links);
    if (!this.frames.frames.has(this.at) || !this.order.includes(this.at)) this.at = this.order[0] || "";
    scrollTo(0, top);
    this.#tabStop();
    if (had && this.at) this.#focus(this.at);
    this.#measure();
    // looked at first, built afterwards: the page is measured once
    const blocks = [...this.place.querySelectorAll(".block")];
    const tops = blocks.map((block) => block.getBoundingClientRect().top);
    blocks.forEach((block, n) => { if (tops[n] < innerHeight) this.#build(block, true); else this.near.observe(block); });
  }

  #sheet(id, name, all, shown) {
    const good = all.filter((f) => f.word === "good").length, kept = all.filter((f) => f.pressed === "kept").length;
    const blocks = [];
    for (let from = 0; from < shown.length; from += BLOCK) {
      const block = make("ul", { class: "block plain" });
      block.ids = shown.slice(from, from + BLOCK).map((f) => f.id);
      blocks.push(block);
    }
    const none = all.length ? "None of these is shown now." : "No frame of this shot has landed.";
    return make("section", { class: "sheet", id, "aria-labelledby": `${id}-name` },
      make("div", { class: "sheet-head" },
        make("h2", { id: `${id}-name` }, name || "Of no shot"),
        make("p", { class: "soft small number" }, all.length ? `${all.length} frame${all.length === 1 ? "" : "s"}, ${good} good, ${kept} kept by you` : ""),
      ),
      make("div", { class: "proposal", "data-shot": name }),
      blocks.length ? blocks : make("p", { class: "soft" }, none),
    );
  }

  /** As high as it will be, so that nothing jumps when it is built. */
  #measure() {
    const block = this.place.querySelector(".block");
    if (!block) return;
    const style = getComputedStyle(block), gap = parseFloat(style.columnGap) || 0;
    const columns = style.gridTemplateColumns.split(" ").length;
    const wide = (block.clientWidth - gap * (columns - 1)) / columns;
    const high = wide * 2 / 3 + parseFloat(style.getPropertyValue("--foot")) + (parseFloat(style.rowGap) || 0);
    for (const one of this.place.querySelectorAll(".block")) {
      const rows = Math.ceil(one.ids.length / columns);
      one.style.containIntrinsicBlockSize = `auto ${Math.round(rows * high)}px`;
      if (!one.firstChild) one.style.minHeight = `${Math.round(rows * high)}px`;
    }
  }

  #build(block, inSight = false) {
    this.near.unobserve(block);
    if (block.firstChild) return;
    block.style.minHeight = "";
    block.append(...block.ids.map((id) => make("li", {}, this.#card(this.frames.frames.get(id), inSight))));
    this.#tabStop();
    this.#need(block.ids);
  }

  #card(frame, inSight) {
    const picture = make("img", { alt: "", width: 3, height: 2 });
    const card = make("button", { type: "button", class: "frame", tabindex: -1, "data-frame": frame.id },
      make("span", { class: "picture" }, picture), make("span", { class: "foot" }));
    this.cards.set(frame.id, card);
    this.#fill(card, frame, inSight);
    return card;
  }

  #fill(card, frame, inSight = false) {
    const part = this.frames.part(frame);
    card.setAttribute("aria-label", spoken(frame, part) + (this.ticked.has(frame.id) ? ", to be compared" : ""));
    card.className = ["frame", frame.pressed && `is-${frame.pressed}`, part && `is-${part}`, this.ticked.has(frame.id) && "is-ticked", frame.id === this.at && "is-at"].filter(Boolean).join(" ");
    card.querySelector(".foot").replaceChildren(
      mark(frame.word || "none", frame.word || (this.refused.has(frame.id) ? "cannot be shown" : "not judged")),
      ...(frame.pressed ? [make("span", { class: "yours" }, shape(frame.pressed === "kept" ? "kept" : "again"), frame.pressed === "kept" ? "kept" : "again")] : []),
    );
    let badge = card.querySelector(".badge");
    if (!part) badge?.remove();
    else {
      if (!badge) { badge = make("span", { class: "badge" }); card.querySelector(".picture").append(badge); }
      badge.replaceChildren(shape(part), part);
    }
    const picture = card.querySelector("img");
    if (frame.seen && !picture.getAttribute("src")) {
      // what is in sight is asked for at once, before the page is measured
      if (!inSight) picture.loading = "lazy";
      picture.decoding = "async";
      picture.src = `/frames/${frame.id}/thumb.jpg`;
    }
  }

  /** These frames are other than before. */
  refresh(ids) {
    for (const id of ids) {
      const card = this.cards.get(id), frame = this.frames.frames.get(id);
      if (card && frame) this.#fill(card, frame);
    }
  }

  /** Small pictures that are not there yet are made in small lots, the nearest first. */
  #need(ids) {
    for (const id of ids) if (!this.frames.frames.get(id).seen && !this.refused.has(id)) this.wanted.add(id);
    if (this.wanted.size && !this.making) this.#makeSome();
  }

  async #makeSome() {
    this.making = true;
    while (this.wanted.size) {
      const middle = innerHeight / 2;
      const far = (id) => { const box = this.cards.get(id)?.getBoundingClientRect(); return box ? Math.abs(box.top - middle) : 1e9; };
      const lot = [...this.wanted].sort((a, b) => far(a) - far(b)).slice(0, AT_ONCE);
      for (const id of lot) this.wanted.delete(id);
      let failed = [];
      try { failed = await work("/choose/pictures", { frames: lot }); } catch { failed = lot; }
      for (const id of lot) {
        const frame = this.frames.frames.get(id);
        if (failed.includes(id)) this.refused.add(id);
        else if (frame) frame.seen = true;
      }
      this.refresh(lot);
    }
    this.making = false;
  }

  #tabStop() {
    for (const card of this.place.querySelectorAll('button.frame[tabindex="0"]')) card.tabIndex = -1;
    const card = this.cards.get(this.at);
    if (card) card.tabIndex = 0;
  }

  #focus(id) {
    const block = [...this.place.querySelectorAll(".block")].find((b) => b.ids.includes(id));
    if (block) this.#build(block);
    const card = this.cards.get(id);
    card?.focus();
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
      case "ArrowDown": to = this.#above(1); break;
      case "ArrowUp": to = this.#above(-1); break;
      case "Home": to = 0; break;
      case "End": to = this.order.length - 1; break;
      case "Enter": event.preventDefault(); this.picked(this.frames.frames.get(this.at), "open"); return;
      default: return;
    }
    event.preventDefault();
    this.#go(this.order[Math.min(Math.max(to, 0), this.order.length - 1)]);
  }

  /** The frame in the row above or below, nearest in place. */
  #above(way) {
    const at = this.order.indexOf(this.at), own = this.cards.get(this.at).getBoundingClientRect();
    let best = at, distance = Infinity, row = null;
    for (let n = at + way; n >= 0 && n < this.order.length; n += way) {
      const card = this.cards.get(this.order[n]);
      if (!card) return row === null ? n : best;
      const box = card.getBoundingClientRect();
      if (Math.abs(box.top - own.top) < 4) continue;
      if (row === null) row = box.top;
      if (Math.abs(box.top - row) > 4) break;
      if (Math.abs(box.left - own.left) < distance) { best = n; distance = Math.abs(box.left - own.left); }
    }
    return best;
  }
}

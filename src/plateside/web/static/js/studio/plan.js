// The plan to scale: drawn by the server; here everything in it is taken hold of, by pointer or by keys, and
// moved.
/** @import { PlanDrawn, Studio } from "../core/facts" */
import { ask } from "../core/ask.js";
import { draw, drawing, focused } from "../core/dom.js";
import { latest } from "../core/latest.js";
import { say } from "../core/say.js";
import { alongWall, cm, frontBearing, leftEdge,
  onWall, same, thingAt, turn, wallLength, wallOf, within } from "./room.js";

const key = (path) => JSON.stringify(path);
const pathOf = (element) => JSON.parse(element?.closest("[data-path]")?.dataset.path || "null");

/**
 * A plan in `place`.
 *   chosen(path)          a thing was taken hold of
 *   moving(path, values)  it is somewhere else for now (values: field names and numbers)
 *   moved(path)           it was let go of
 *   dropped()             the move was given up
 *   removed(path)         Delete was pressed
 *   version()             what was drawn is old when this is another
 *   waiting()             [{ at, values }] that drags or the keys have changed and that is not saved yet, the
 *   oldest first
 *   boards()              { shot, waiting } whose boards are shown, and those that are on their way; or null
 */
export class Plan {
  constructor(place, page) {
    this.place = place;
    this.page = page;
    /** None before it is shown first. @type {Studio} */
    this.studio = /** @type {any} */ (null);
    this.path = null;
    this.dragged = null;
    this.asked = "";
    this.drawn = null;
    this.after = () => {};
    this.left = this.front = this.scale = 0;
    this.svg = draw("svg", { class: "plan" });
    place.append(this.svg);
    new ResizeObserver(() => { if (this.studio && !this.dragged) this.#refresh(); }).observe(place);
    this.svg.addEventListener("pointerdown", (event) => this.#take(event));
    this.svg.addEventListener("pointermove", (event) => this.#drag(event));
    this.svg.addEventListener("pointerup", (event) => this.#release(event));
    this.svg.addEventListener("pointercancel", () => this.#giveUp());
    // a finger on a thing moves it, never the page: touch-action alone is lost when the thing is drawn anew
    this.svg.addEventListener("touchstart", (event) => {
      if (event.touches.length === 1 && event.target.closest(".thing")) event.preventDefault();
    }, { passive: false });
    this.svg.addEventListener("keydown", (event) => this.#key(event));
    for (const kind of ["focusin", "click"]) this.svg.addEventListener(kind,
      (event) => this.#choose(pathOf(event.target)));
    this.ask = latest(() => this.#draw());
  }

  /**
   * The studio as it is for now, and what is chosen: what is dragged moves at once, its new drawing follows.
   */
  show(studio, path) {
    this.studio = studio;
    this.path = path;
    for (const thing of this.svg.querySelectorAll(".thing[aria-pressed]")) {
      const on = thing.dataset.path === key(path);
      thing.classList.toggle("on", on);
      thing.setAttribute("aria-pressed", String(on));
    }
    this.#shift();
    this.#refresh();
  }

  /** A place of the room [m] as a place in the drawing. */
  at([x, y]) { return [this.left + x * this.scale, this.front + y * this.scale]; }

  /** A step of the pointer on the screen, or a place there, in the drawing's own pixels. */
  get shrunk() { return this.svg.getBoundingClientRect().width / this.svg.viewBox.baseVal.width; }

  #refresh() {
    const wide = Math.round(this.place.clientWidth || 600),
      high = Math.round(Math.max(360, Math.min(innerHeight * 0.76, 800)));
    const { shot, waiting: placed = [] } = this.page.boards() ?? {}, moved = this.page.waiting();
    const asked = key([wide, high, this.path, shot, placed, moved, this.page.version()]);
    if (asked === this.asked) return;
    this.asked = asked;
    this.wanted = new URLSearchParams(
      { wide: String(wide), high: String(high),
      asked: key({ chosen: this.path, shot: shot ?? "", placed, moved }) });
    this.shown = { studio: structuredClone(this.studio), placed: structuredClone(placed), shot };
    this.ask();
  }

  async #draw() {
    const { wanted, shown } = this;
    try {
      /** @type {PlanDrawn} */
      const { svg } = await ask(`/studio/plan?${wanted}`);
      this.#adopt(drawing(svg), shown);
    } catch (error) {
      this.asked = "";
      // what is wrong in the file is said above the plan, which stays as it was
      if (error.status !== 422) say(error.message);
    }
  }

  /** The server's drawing in the place of the old one; what has the focus keeps it. */
  #adopt(fresh, shown) {
    const had = this.svg.contains(focused()) ? focused().closest("[data-path]")?.dataset.path : null;
    for (const { name, value } of fresh.attributes) if (name !== "xmlns") this.svg.setAttribute(name, value);
    [this.scale, this.left, this.front] =
      ["scale", "left", "front"].map((name) => Number(fresh.dataset[name]));
    this.svg.replaceChildren(...fresh.childNodes);
    this.drawn = shown;
    this.#shift();
    if (had) this.focus(had);
  }

  focus(path) {
    this.svg.querySelector(`.thing[data-path="${CSS.escape(path)}"]`)?.focus({ preventScroll: true });
  }

  // ---- moved before it is drawn anew -------------------------------------------------------------

  /** What was dragged since it was drawn, moved there. */
  #shift() {
    for (const moved of this.svg.querySelectorAll("[data-shifted]")) {
      moved.removeAttribute("transform");
      delete moved.dataset.shifted;
    }
    if (this.drawn) this.after();
    if (!this.drawn) return;
    for (const { at, values } of this.page.waiting()) {
      const sizer = at[0] === "room" && Object.keys(values)[0];
      this.shift(sizer ? ["room", sizer] : at, this.#step(at));
    }
  }

  /** Move the figure of a path by an SVG transform until it is drawn anew. */
  shift(path, transform) {
    if (!transform) return;
    const name = CSS.escape(key(path));
    for (const figure of this.svg.querySelectorAll(`.thing[data-path="${name}"], [data-lifted="${name}"]`)) {
      figure.setAttribute("transform", transform);
      figure.dataset.shifted = "yes";
    }
  }

  #step(at) {
    const now = at[0] === "room" ? this.studio.room : thingAt(this.studio, at),
      then = at[0] === "room" ? this.drawn.studio.room : thingAt(this.drawn.studio, at);
    if (!now || !then) return "";
    const by = (dx, dy) => (dx || dy ? `translate(${dx * this.scale} ${dy * this.scale})` : "");
    if (at[0] === "room") return by(now.width_m - then.width_m, now.depth_m - then.depth_m);
    if (at[2] === "opposite") {
      const about = this.svg.querySelector(
        `[data-path="${CSS.escape(key(at))}"] [data-about]`)?.dataset.about,
        turned = turn(now.bearing_from_deg - then.bearing_from_deg);
      return about && turned && turned === turn(now.bearing_to_deg - then.bearing_to_deg)
        ? `rotate(${turned} ${about})` : "";
    }
    if (at[0] === "windows") {
      const wall = wallOf(this.studio, now),
        [a, b] = [then, now].map((each) => onWall(this.studio, wall, leftEdge(this.studio, each)));
      return by(b[0] - a[0], b[1] - a[1]);
    }
    return by(now.from_left_m - then.from_left_m, now.from_front_m - then.from_front_m);
  }

  // ---- taking hold -------------------------------------------------------------------------------

  #choose(path) { if (path && path[0] !== "placed" && !same(path, this.path)) this.page.chosen(path); }

  #take(event) {
    const path = pathOf(event.target);
    if (event.button || !path || path[0] === "placed" || !event.target.closest(".thing")) return;
    event.preventDefault();
    const end = event.target.dataset?.end || "";
    this.dragged = { id: event.pointerId, path, end, x: event.clientX, y: event.clientY, going: false,
      from: structuredClone(path[0] === "room" ? this.studio.room : thingAt(this.studio, path)) };
    this.svg.setPointerCapture(event.pointerId);
    // what a finger touches must still be there when the touch begins, a moment after this
    requestAnimationFrame(() => {
      this.page.chosen(path);
      this.focus(key(path));
    });
  }

  #drag(event) {
    const dragged = this.dragged;
    if (!dragged || event.pointerId !== dragged.id) return;
    const dx = event.clientX - dragged.x, dy = event.clientY - dragged.y;
    if (!dragged.going && Math.hypot(dx, dy) < 4) return;
    dragged.going = true;
    if (dragged.path[2] === "opposite") this.page.moving(dragged.path, this.#turned(dragged, event));
    else this.page.moving(dragged.path,
      this.#shifted(dragged.path, dragged.from, dx / this.scale, dy / this.scale));
  }

  #release(event) {
    if (!this.dragged || event.pointerId !== this.dragged.id) return;
    const { going, path } = this.dragged;
    this.dragged = null;
    if (going) this.page.moved(path);
  }

  #giveUp() {
    if (!this.dragged) return;
    const going = this.dragged.going;
    this.dragged = null;
    if (going) this.page.dropped();
  }

  /** Where a thing is after a step of dx, dy metres from where it was. */
  #shifted(path, from, dx, dy) {
    const { room } = this.studio;
    if (path[0] === "room") return {
      [path[1]]: within(cm(from[path[1]] + (path[1] === "width_m" ? dx : dy)), 1, 30) };
    if (path[0] === "windows") {
      const wall = wallOf(this.studio, from), step = alongWall(wall, dx, dy);
      return {
        from_left_m: cm(within(leftEdge(this.studio, from) + step,
        0, wallLength(this.studio, wall) - from.width_m)) };
    }
    const [w, d] = path[0] === "furniture" ? [from.width_m, from.depth_m] : [0, 0];
    return { from_left_m: cm(within(from.from_left_m + dx, 0, room.width_m - w)),
      from_front_m: cm(within(from.from_front_m + dy, 0, room.depth_m - d)) };
  }

  /** Bearings of something outside, turned with the pointer about its window. */
  #turned(dragged, event) {
    const w = this.studio.windows[dragged.path[1]],
      [x, y] = this.at(onWall(this.studio, wallOf(this.studio, w), leftEdge(this.studio, w) + w.width_m / 2));
    const box = this.svg.getBoundingClientRect(), { shrunk } = this;
    const at = (px, py) => Math.atan2((px - box.x) / shrunk - x, -((py - box.y) / shrunk - y)) * 180 / Math.PI
      + frontBearing(this.studio);
    const by = at(event.clientX, event.clientY) - at(dragged.x, dragged.y);
    return this.turnedBy(dragged.from, by, dragged.end);
  }

  turnedBy(from, by, end = "") {
    const ends = end ? [end] : ["bearing_from_deg", "bearing_to_deg"];
    return Object.fromEntries(ends.map((name) => [name, Math.round(turn(from[name] + by)) % 360]));
  }

  #key(event) {
    const path = pathOf(event.target);
    if (path?.[0] === "placed") return;
    if (event.key === "Escape" && this.dragged) { this.#giveUp(); return; }
    if (!path || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === "Delete" || event.key === "Backspace") {
      event.preventDefault();
      if (path[0] !== "room") this.page.removed(path);
      return;
    }
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      this.page.entered(path);
      return;
    }
    const arrow = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!arrow) return;
    event.preventDefault();
    this.nudge(path, arrow, event.shiftKey ? 10 : 1);
  }

  /** One step of `count` centimetres (or degrees, outside) to a side. */
  nudge(path, [right, down], count) {
    const from = path[0] === "room" ? this.studio.room : thingAt(this.studio, path);
    const values = path[2] === "opposite" ? this.turnedBy(from, (right - down) * count)
      : this.#shifted(path, from, right * count / 100, down * count / 100);
    this.page.moving(path, values);
    this.page.nudged(path);
  }
}

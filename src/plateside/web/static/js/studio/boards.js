// The boards of a shot round its dish, on the plan and in numbers: dragged, nudged, typed, taken back. They
// are the shot's.
import { settled } from "../core/dom.js";
import { Saved } from "../core/save.js";
import { say } from "../core/say.js";
import { BoardFields } from "./board_fields.js";
import { afterTaking, cm, within } from "./room.js";
import { FARTHEST, NEAREST, SIDES, oneMore, towards } from "./sides.js";
import { BOARDS } from "./words.js";

export class Boards {
  /**
   * page: choose(path), redraw(), saved(words), remember() after a change that can be taken back.
   * shoot: what the server says of shoot.toml, or null when it cannot be read.
   */
  constructor(plan, shoot, page) {
    this.plan = plan;
    this.page = page;
    this.shoot = shoot?.value ?? null;
    this.studio = null;
    this.spot = null;
    this.shot = "";
    this.dragged = null;
    this.waiting = null;
    this.sent = [];
    this.fields = new BoardFields(this);
    this.place = this.fields.place;
    this.saver = new Saved("shoot", shoot?.version ?? "",
      shoot?.can_undo ?? false, (value, reply) => this.#arrived(value, reply));
    plan.after = () => this.#shift();
    plan.svg.addEventListener("pointerdown", (event) => this.#take(event));
    plan.svg.addEventListener("keydown", (event) => this.#key(event));
    plan.svg.addEventListener("pointermove", (event) => this.#drag(event));
    plan.svg.addEventListener("pointerup", (event) => this.#release(event));
    plan.svg.addEventListener("pointercancel", () => this.#giveUp());
    this.later = settled(450, () => this.keep());
  }

  get busy() { return Boolean(this.dragged || this.waiting || this.sent.length); }

  /** The studio as it is, and the table spot that is chosen (its number, or null). */
  at(studio, spot) {
    this.studio = studio;
    if (spot !== this.spot) this.fields.forget();
    this.spot = spot;
    this.fields.show();
  }

  show() { this.fields.show(); this.page.redraw(); }

  /** The shoot as it now is: what was moved and is not saved yet goes on, wherever its board is now. */
  #arrived(value, { ownChanges = [] } = {}) {
    this.shoot = value;
    for (const { take } of ownChanges.filter((each) => each.take)) {
      const still = (moved) => {
        const path = moved && afterTaking(take, ["shots", moved.number, "boards", moved.k]);
        if (path) moved.k = path[3];
        return Boolean(path);
      };
      this.sent = this.sent.filter(still);
      if (!still(this.waiting)) this.waiting = null;
    }
    this.show();
  }

  /** The shots whose dish stands at the chosen spot, with their numbers. */
  shots() {
    if (!this.shoot || this.spot === null) return [];
    const name = this.studio.spots[this.spot]?.name, first = this.studio.spots[0]?.name;
    return this.shoot.shots.map((shot, number) => ({ shot, number }))
      .filter(({ shot }) => (shot.spot || first) === name);
  }

  chosen() {
    const shots = this.shots();
    return shots.find(({ shot }) => shot.name === this.shot) ?? shots[0] ?? null;
  }

  /**
   * A board as it now stands: what the file says, and what a drag or the keys have changed since, sent or
   * not.
   */
  placed(number, k) {
    const moved = this.#moving(number).filter((each) => each.k === k);
    return Object.assign({ ...this.shoot.shots[number].boards[k] }, ...moved.map((each) => each.values));
  }

  /**
   * Whether a board stands on the side of a camera that looks at the dish from there; over the dish there is
   * no such side.
   */
  behind(number, k) {
    return this.placed(number, k).side === "near" && this.shoot.shots[number].angle !== "overhead";
  }

  // ---- on the plan -------------------------------------------------------------------------------

  /** What of a shot's boards is on its way, sent or not, in the order that it was moved. */
  #moving(number) { return [...this.sent, this.waiting].filter((each) => each && each.number === number); }

  /** Whose boards the plan shows at the chosen spot, and those that are on their way. */
  onPlan() {
    const chosen = this.chosen();
    return chosen && { shot: chosen.shot.name,
      waiting: this.#moving(chosen.number).map(({ k, values }) => ({ at: [k], values })) };
  }

  /** The boards that are on their way, turned and moved to where they are for now; their drawing follows. */
  #shift() {
    const chosen = this.chosen();
    for (const moved of chosen ? this.#moving(chosen.number) : []) this.#shiftOne(moved);
  }

  #shiftOne(w) {
    const drawn = this.plan.svg.querySelector(`.placed[data-path='["placed",${w.k}]']`);
    if (!drawn) return;
    const now = this.placed(w.number, w.k), shot = this.shoot.shots[w.number],
      spot = this.studio.spots[this.spot];
    const turned = SIDES[now.side] - SIDES[drawn.dataset.side],
      far = (now.distance_m - Number(drawn.dataset.distanceM)) * this.plan.scale;
    const [ax, ay] = towards(shot.camera_faces_deg + SIDES[now.side]),
      [x, y] = this.plan.at([spot.from_left_m, spot.from_front_m]);
    if (turned || far) this.plan.shift(["placed", w.k],
      `translate(${ax * far} ${ay * far}) rotate(${turned} ${x} ${y})`);
  }

  /** The number of the board that an event is about, or null. */
  #hit(event) {
    const path = event.target.closest(".placed")?.dataset.path;
    return path ? JSON.parse(path)[1] : null;
  }

  #take(event) {
    const k = this.#hit(event);
    if (event.button || k === null) return;
    event.preventDefault();
    this.dragged = { id: event.pointerId, number: this.chosen().number,
      k, x: event.clientX, y: event.clientY, going: false };
    this.plan.svg.setPointerCapture(event.pointerId);
    requestAnimationFrame(() => this.#focus(k));
  }

  #drag(event) {
    const dragged = this.dragged;
    if (!dragged || event.pointerId !== dragged.id) return;
    if (!dragged.going && Math.hypot(event.clientX - dragged.x, event.clientY - dragged.y) < 4) return;
    dragged.going = true;
    const box = this.plan.svg.getBoundingClientRect(),
      { shrunk } = this.plan, spot = this.studio.spots[this.spot];
    const [cx, cy] = this.plan.at([spot.from_left_m, spot.from_front_m]);
    const [dx, dy] = [((event.clientX - box.x) / shrunk - cx) / this.plan.scale,
      ((event.clientY - box.y) / shrunk - cy) / this.plan.scale];
    const side = this.#sideOf(this.shoot.shots[dragged.number], dx, dy),
      away = towards(this.shoot.shots[dragged.number].camera_faces_deg + SIDES[side]);
    this.#move(dragged.number, dragged.k,
      { side, distance_m: cm(within(dx * away[0] + dy * away[1], NEAREST, FARTHEST)) });
  }

  /** The side that a direction in the room points to. */
  #sideOf(shot, dx, dy) {
    const along = (side) => {
      const away = towards(shot.camera_faces_deg + SIDES[side]);
      return dx * away[0] + dy * away[1];
    };
    return Object.keys(SIDES).reduce((best, side) => (along(side) > along(best) + 1e-9 ? side : best));
  }

  #release(event) {
    if (!this.dragged || event.pointerId !== this.dragged.id) return;
    const { going } = this.dragged;
    this.dragged = null;
    if (going) this.keep();
  }

  #giveUp() {
    if (!this.dragged) return;
    this.dragged = this.waiting = null;
    this.show();
  }

  #key(event) {
    const k = this.#hit(event);
    if (k === null || event.ctrlKey || event.metaKey || event.altKey) return;
    const { number } = this.chosen();
    if (event.key === "Escape") { this.#giveUp(); return; }
    if (event.key === "Delete" || event.key === "Backspace") {
      event.preventDefault();
      this.remove(number, k);
      return;
    }
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      this.place.querySelector(`[data-board="${k}"] input`)?.focus();
      return;
    }
    const arrow = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!arrow) return;
    event.preventDefault();
    this.nudge(number, k, arrow, event.shiftKey ? 10 : 1);
  }

  /** Away from the dish or nearer, by centimetres; an arrow to another side takes the board there. */
  nudge(number, k, [dx, dy], count) {
    const placed = this.placed(number, k), shot = this.shoot.shots[number],
      side = this.#sideOf(shot, dx, dy);
    const opposite = this.#sideOf(shot, -dx, -dy);
    const by = side === placed.side ? count : opposite === placed.side ? -count : 0;
    this.#move(number, k, by ? { distance_m: cm(within(placed.distance_m + by / 100, NEAREST, FARTHEST)) }
      : { side });
    this.later();
  }

  #move(number, k, values) {
    const same = this.waiting && this.waiting.number === number && this.waiting.k === k;
    if (this.waiting && !same) this.keep();
    this.waiting = { number, k, values: { ...(same ? this.waiting.values : {}), ...values } };
    this.fields.values();
    this.page.redraw();
  }

  #focus(k) { this.plan.focus(JSON.stringify(["placed", k])); }

  // ---- saving ------------------------------------------------------------------------------------

  /** What was dragged or nudged: one step that can be taken back. */
  async keep() {
    const moved = this.waiting;
    if (!moved) return true;
    this.waiting = null;
    this.sent.push(moved);
    // against what the save before this one came to: where it stood before that is nothing to compare with
    const done = await this.#save(() => {
      const said = this.sent.includes(moved) && this.shoot?.shots[moved.number]?.boards[moved.k];
      return Object.entries(said ? moved.values : {}).filter(([name, value]) => said[name] !== value)
        .map(([name, value]) => ({ put: ["shots", moved.number, "boards", moved.k, name], value }));
    });
    const { number, k } = moved, there = this.sent.includes(moved);
    this.sent = this.sent.filter((each) => each !== moved);
    this.show();
    // where a hand let go of it is not yet where it was meant to stand
    if (done && there && moved.values.side && this.shoot?.shots[number]?.boards[k]
      && this.behind(number, k)) say(BOARDS.behind(BOARDS.named(this.shoot.shots[number].boards[k].board)),
      null, 12000);
    return done;
  }

  async #save(changes) {
    this.page.saved("saving");
    let changeCount = 0;
    const done = await this.saver.save(() => {
      const now = typeof changes === "function" ? changes() : changes;
      changeCount = now.length;
      return now;
    });
    this.page.saved(done ? "saved" : "notSaved");
    if (done && changeCount) this.page.remember();
    return done;
  }

  async remove(number, k) {
    // pressed twice is one wish
    if (this.removing) return;
    this.removing = true;
    try { await this.#removed(number, k); } finally { this.removing = false; }
  }

  async #removed(number, k) {
    const { board } = this.shoot.shots[number].boards[k];
    this.keep();
    if (await this.#save([{ take: ["shots", number, "boards", k] }])) say(BOARDS.removed(board));
  }

  async undo() { return this.saver.canUndo && this.saver.undo(); }

  /** Somebody changed the shoot: show it as it is. */
  async look() {
    if (this.busy) return;
    try {
      const reply = await this.saver.readElsewhere(() => this.busy);
      if (reply) { this.shoot = reply.value; this.show(); }
    } catch (error) { if (error.status === 422) { this.shoot = null; this.show(); } }
  }

  /** One more board stands with a shot, on the side that it serves best. */
  async add(number) {
    const shot = this.shoot.shots[number];
    this.keep();
    const item = oneMore(this.studio, this.studio.spots[this.spot], shot);
    if (await this.#save([{ add: ["shots", number, "boards"], item }]))
      this.#focus(this.shoot.shots[number].boards.length - 1);
  }

  /** A field's change; what was nudged is saved before it: in the line at once, so steps keep their order. */
  async put(path, value) {
    this.keep();
    return this.#save([{ put: path, value }]);
  }

  /** The shot whose boards are shown. */
  choose(shot) {
    this.keep();
    this.shot = shot;
    this.show();
  }
}

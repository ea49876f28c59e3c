// The year's calendar, drawn by the server: read out by hover, arrow keys and touch; a press goes to the day.
/** @import { YearNotKept, YearShown } from "../core/facts" */
import { ask, work } from "../core/ask.js";
import { drawing, make, one } from "../core/dom.js";
import { trying } from "../core/say.js";
import { luxWords, SAID } from "./words.js";

const MONTHS = ["January", "February", "March",
  "April", "May", "June", "July", "August", "September", "October", "November", "December"];
const WEEKDAYS = ["Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"];
const TAP_PX = 8;
/** A place narrower than this [px] has the drawing for a phone. */
const SMALL = 620;

export class Year {
  /** choices(): the address's query; day(): the day shown; go(date, clock): show another. */
  constructor({ choices, day, go }) {
    this.choices = choices;
    this.dayShown = day;
    this.go = go;
    /** None before the first has come, and where there is none. @type {YearShown} */
    this.data = /** @type {any} */ (null);
    this.column = 0;
    this.minute = 12 * 60;
    this.first = new Date(0);
    this.asked = "";
    /** Of what the year that is being computed is. */
    this.key = "";
    this.running = null;
    /** @type {HTMLButtonElement | null} */
    this.button = null;
    this.left = this.wide = this.top = this.high = this.days = 0;
    this.place = one("#year");
    this.read = one("#year-read");
    this.place.tabIndex = 0;
    this.place.setAttribute("role", "application");
    this.place.setAttribute("aria-label", SAID.yearKeys);
    this.place.hidden = true;
    this.place.addEventListener("keydown", (event) => this.#key(event));
    this.place.addEventListener("focus", () => { if (this.data) this.#at(this.column, this.minute); });
    this.#pointer();
    one("#year-stop").addEventListener("click", () => this.running?.stop());
    one("#year-again").addEventListener("click", () => this.#begin());
    new ResizeObserver(() => {
      if (this.data && this.place.clientWidth && this.small !== this.drawnSmall) this.#draw();
    }).observe(this.place);
  }

  /** Show the year for what is asked now; computed when it is not kept yet. anew: the room may be another. */
  async show(anew = false) {
    const query = this.choices();
    const year = query.get("day").slice(0, 4);
    query.delete("day");
    const asked = `${query}&${year}`;
    const same = asked === this.asked;
    if (same && !anew && (this.data || this.running)) {
      if (this.data && !this.running) this.place.classList.remove("old");
      if (this.data) this.#markDay();
      return;
    }
    this.asked = asked;
    if (!same) this.running?.stop();
    if (query.get("sky") === "forecast") { this.#none(SAID.forecastIsNoYear); return; }
    /** @type {YearShown | YearNotKept | undefined} */
    const reply = await trying(() => ask(`/light/year?${this.choices()}`));
    if (asked !== this.asked || !reply) return;
    if (!("kept" in reply)) this.#take(reply);
    else if (!same || !this.running || reply.key !== this.key) { this.key = reply.key; this.#begin(); }
  }

  /** There is no year of what is asked, and none can be computed. */
  #none(words) {
    this.data = /** @type {any} */ (null);
    one("#year-words").textContent = words;
    this.read.textContent = "";
    for (const at of ["#year", "#year-key", "#months", "#year-again", "#year-bar", "#year-stop"]) one(at)
      .hidden = true;
  }

  async #begin() {
    this.running?.stop();
    const asked = this.asked, bar = one("#year-bar"),
      words = one("#year-words"), stop = one("#year-stop"), again = one("#year-again");
    words.textContent = SAID.computingYear;
    bar.removeAttribute("value");
    bar.hidden = stop.hidden = false;
    again.hidden = true;
    const job = work("/light/year", Object.fromEntries(this.choices()), (news) => { if (news.total) {
      bar.max = news.total;
      bar.value = news.done;
    } });
    this.running = job;
    try {
      const found = await job;
      if (asked === this.asked && this.running === job) this.#take(found);
    } catch (error) {
      if (asked !== this.asked || this.running !== job) return;
      words.textContent = error.message;
      again.hidden = false;
    } finally {
      if (this.running === job) {
        this.running = null;
        bar.hidden = stop.hidden = true;
      }
    }
  }

  /** @param {YearShown} data */
  #take(data) {
    this.data = data;
    this.place.classList.remove("old");
    one("#year-words").textContent =
      `${data.year}, ${data.spot}, ${data.sky}. Outlined: ${data.needs}. ${data.answer}`;
    one("#year-again").hidden = true;
    this.place.hidden = one("#year-key").hidden = false;
    this.first = new Date(Date.UTC(data.year, 0, 1));
    if (!this.read.firstChild) this.read.textContent = SAID.pointAtYear;
    this.#draw();
    one("#months").hidden = false;
    one("#months-table").replaceChildren(make("table", {},
      make("thead", {},
        make("tr", {},
        ...[...SAID.months].map((w, i) => make("th", { scope: "col", class: i ? "number" : "" }, w)))),
      make("tbody", {},
        data.months.map((m) => make("tr", {}, make("th", { scope: "row" }, m.name),
        ...[m.good_h_per_day, m.days_with_good_light,
        m.sun_on_dish_h].map((v) => make("td", { class: "number" }, String(v))))))));
  }

  #draw() {
    this.drawnSmall = this.small;
    this.svg = drawing(this.small ? this.data.calendar_small : this.data.calendar);
    [this.left, this.wide, this.top, this.high, this.days] =
      ["left", "wide", "top", "high", "days"].map((name) => Number(this.svg.dataset[name]));
    this.place.replaceChildren(this.svg);
    this.#markDay();
  }

  get small() { return this.place.clientWidth < SMALL; }
  get #hours() { return this.data.last_hour - this.data.first_hour; }
  #x(column) { return this.left + (column / this.days) * this.wide; }
  #y(minute) { return this.top + ((minute / 60 - this.data.first_hour) / this.#hours) * this.high; }
  #column(date) { return Math.round((date.getTime() - this.first.getTime()) / 86400000); }
  #date(column) { return new Date(this.first.getTime() + column * 86400000); }

  #markDay() {
    const date = new Date(`${this.dayShown()}T00:00:00Z`);
    this.column = Math.max(0, Math.min(this.days - 1, this.#column(date)));
    const x = this.#x(this.column + 0.5);
    one(".today", this.svg).setAttribute("d",
      `M${x - 6} ${this.top - 10}h12l-6 9zM${x} ${this.top}v${this.high}`);
  }

  /** Read out a day and a time. */
  #at(column, minute) {
    const { data } = this;
    this.column = Math.max(0, Math.min(this.days - 1, column));
    this.minute = Math.max(data.first_hour * 60,
      Math.min(data.last_hour * 60 - data.read_min, Math.round(minute / data.read_min) * data.read_min));
    const x = this.#x(this.column + 0.5), y = this.#y(this.minute),
      [down, across] = [".down", ".across"].map((mark) => one(mark, this.svg));
    for (const [line, a, b, v] of [[down, "x1", "x2", x], [across, "y1", "y2", y]]) {
      line.setAttribute(a, v);
      line.setAttribute(b, v);
      line.removeAttribute("visibility");
    }
    this.read.replaceChildren(this.#words(), " ", this.#goButton());
  }

  #goButton() {
    const button = this.button ?? make("button", { type: "button", class: "quiet", onclick: () => this.#go() });
    const date = this.#date(this.column);
    button.textContent = `Show ${date.getUTCDate()} ${MONTHS[date.getUTCMonth()]}`;
    this.button = button;
    return button;
  }

  #words() {
    const { data } = this, date = this.#date(this.column);
    const lux = data.lux[this.column][(this.minute - data.first_hour * 60) / data.read_min];
    const name =
      `${WEEKDAYS[date.getUTCDay()]} ${date.getUTCDate()} ${MONTHS[date.getUTCMonth()]}, ${this.#clock()}`;
    if (lux === null) return `${name}: ${SAID.skipped}`;
    /** @param {YearShown["good"]} spans */
    const within = (spans) => spans[this.column].some(([a, b]) => a <= this.minute && this.minute < b);
    const light = luxWords(lux, lux * data.spread[0], lux * data.spread[1]);
    return `${name}: ${light}, ${within(data.good) ? "good" : "not good"}${within(data.sun) ? ", direct sun on the dish" : ""}.`;
  }

  #clock() {
    return `${String(Math.floor(this.minute / 60)).padStart(2, "0")}:${String(this.minute % 60).padStart(2, "0")}`;
  }
  #go() { this.go(this.#date(this.column).toISOString().slice(0, 10), this.#clock()); }

  #key(event) {
    if (!this.data || event.ctrlKey || event.metaKey || event.altKey) return;
    const moves = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -15],
      ArrowDown: [0, 15], PageUp: [-30, 0], PageDown: [30, 0], Home: [-400, 0], End: [400, 0] };
    if (event.key === "Enter") { event.preventDefault(); this.#go(); return; }
    const move = moves[event.key];
    if (!move) return;
    event.preventDefault();
    this.#at(this.column + move[0], this.minute + move[1]);
  }

  #pointer() {
    let from = null;
    const cell = (event) => {
      const box = this.svg.getBoundingClientRect(), shrunk = box.width / this.svg.viewBox.baseVal.width;
      const x = (event.clientX - box.left) / shrunk, y = (event.clientY - box.top) / shrunk;
      return [Math.floor(((x - this.left) / this.wide) * this.days),
        (this.data.first_hour + ((y - this.top) / this.high) * this.#hours) * 60];
    };
    this.place.addEventListener("pointermove", (event) => { if (this.data) this.#at(...cell(event)); });
    this.place.addEventListener("pointerdown", (event) => {
      from = [event.clientX, event.clientY];
      if (this.data) this.#at(...cell(event));
    });
    this.place.addEventListener("pointerup", (event) => {
      // a tap or a click goes there; a finger that was drawn along only read
      if (this.data && from && Math.hypot(event.clientX - from[0],
        event.clientY - from[1]) < TAP_PX) this.#go();
      from = null;
    });
    this.place.addEventListener("pointercancel", () => { from = null; });
  }
}

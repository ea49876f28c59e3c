// The year's calendar: our own picture under lines, read out by hover, arrow keys and touch; a press goes to the day.
import { ask, work } from "../core/ask.js";
import { draw, make, one } from "../core/dom.js";
import { trying } from "../core/say.js";
import { luxWords, SAID } from "./words.js";

const MONTHS = ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];
const WEEKDAYS = ["Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"];
const TOP = 14, BELOW = 26, TAP_PX = 8;

export class Year {
  /** choices(): the address's query; day(): the day shown; go(date, clock): show another. */
  constructor({ choices, day, go }) {
    Object.assign(this, { choices, dayShown: day, go, data: null, asked: "", running: null });
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
    new ResizeObserver(() => { if (this.data && this.place.clientWidth !== this.drawnWide) this.#draw(); }).observe(this.place);
  }

  /** Show the year for what is asked now; computed when it is not kept yet. */
  async show() {
    const query = this.choices();
    const year = query.get("day").slice(0, 4);
    query.delete("day");
    const asked = `${query}&${year}`;
    if (asked === this.asked && (this.data || this.running)) { if (this.data && !this.running) this.place.classList.remove("old"); if (this.data) this.#markDay(); return; }
    this.asked = asked;
    this.running?.stop();
    if (query.get("sky") === "forecast") { this.#none(SAID.forecastIsNoYear); return; }
    const kept = await trying(() => ask(`/light/year?${this.choices()}`));
    if (asked !== this.asked || !kept) return;
    if (kept.kept === false) this.#begin(); else this.#take(kept);
  }

  /** There is no year of what is asked, and none can be computed. */
  #none(words) {
    this.data = null;
    one("#year-words").textContent = words;
    this.read.textContent = "";
    for (const at of ["#year", "#year-key", "#months", "#year-again", "#year-bar", "#year-stop"]) one(at).hidden = true;
  }

  async #begin() {
    const asked = this.asked, bar = one("#year-bar"), words = one("#year-words"), stop = one("#year-stop"), again = one("#year-again");
    words.textContent = SAID.computingYear;
    bar.removeAttribute("value");
    bar.hidden = stop.hidden = false;
    again.hidden = true;
    const job = work("/light/year", Object.fromEntries(this.choices()), (news) => { if (news.total) { bar.max = news.total; bar.value = news.done; } });
    this.running = job;
    try {
      const found = await job;
      if (asked === this.asked) this.#take(found);
    } catch (error) {
      if (asked !== this.asked) return;
      words.textContent = error.message;
      again.hidden = false;
    } finally {
      if (this.running === job) {
        this.running = null;
        bar.hidden = stop.hidden = true;
      }
    }
  }

  #take(data) {
    this.data = data;
    this.place.classList.remove("old");
    one("#year-words").textContent = `${data.year}, ${data.spot}, ${data.sky}. Outlined: ${data.needs}. ${data.answer}`;
    one("#year-again").hidden = true;
    this.place.hidden = one("#year-key").hidden = false;
    this.first = new Date(Date.UTC(data.year, 0, 1));
    if (!this.read.firstChild) this.read.textContent = SAID.pointAtYear;
    this.column ??= 0;
    this.minute ??= 12 * 60;
    this.#draw();
    one("#months").hidden = false;
    one("#months-table").replaceChildren(make("table", {},
      make("thead", {}, make("tr", {}, ...[...SAID.months].map((w, i) => make("th", { scope: "col", class: i ? "number" : "" }, w)))),
      make("tbody", {}, data.months.map((m) => make("tr", {}, make("th", { scope: "row" }, m.name), ...[m.good_h_per_day, m.days_with_good_light, m.sun_on_dish_h].map((v) => make("td", { class: "number" }, String(v))))))));
  }

  #draw() {
    const { layers } = this.data, width = this.drawnWide = this.place.clientWidth, small = width < 620;
    if (!width) return;
    this.left = small ? 42 : 52;
    this.wide = width - this.left - 8;
    const hours = layers.last_hour - layers.first_hour;
    this.high = hours * (small ? 15 : 20);
    const top = layers.first_hour * 60, span = hours * 60;
    const field = draw("svg", { x: this.left, y: TOP, width: this.wide, height: this.high, viewBox: `0 ${top} ${layers.days} ${span}`, preserveAspectRatio: "none" },
      draw("image", { href: `data:image/png;base64,${layers.png}`, x: 0, y: top, width: layers.days, height: span, preserveAspectRatio: "none" }),
      draw("path", { d: layers.sun, class: "sun" }),
      draw("path", { d: layers.sunrise + layers.sunset, class: "suntimes" }),
      layers.levels.map((l) => draw("path", { d: l.d, class: "level" })),
      draw("path", { d: layers.good, class: "good-under" }), draw("path", { d: layers.good, class: "good" }));
    const svg = draw("svg", { width, height: TOP + this.high + BELOW, viewBox: `0 0 ${width} ${TOP + this.high + BELOW}`, role: "img", "aria-label": this.data.heading }, field);
    this.#axes(svg, small);
    this.#levelNames(svg);
    this.today = draw("path", { class: "today" });
    this.across = draw("line", { x1: this.left, x2: this.left + this.wide, class: "cross" });
    this.down = draw("line", { y1: TOP, y2: TOP + this.high, class: "cross" });
    svg.append(this.today, draw("rect", { x: this.left, y: TOP, width: this.wide, height: this.high, class: "frame" }), this.across, this.down);
    this.across.setAttribute("visibility", "hidden");
    this.down.setAttribute("visibility", "hidden");
    this.place.replaceChildren(svg);
    this.#markDay();
  }

  #axes(svg, small) {
    const { layers } = this.data;
    for (let h = layers.first_hour; h <= layers.last_hour; h++) {
      if (h % 3) continue;
      svg.append(draw("text", { x: this.left - 8, y: this.#y(h * 60) + 4, "text-anchor": "end", class: "axis" }, `${String(h).padStart(2, "0")}:00`));
    }
    for (let m = 0; m < 12; m++) {
      const a = this.#x(this.#column(new Date(Date.UTC(this.data.year, m, 1)))), b = m < 11 ? this.#x(this.#column(new Date(Date.UTC(this.data.year, m + 1, 1)))) : this.left + this.wide;
      svg.append(draw("text", { x: (a + b) / 2, y: TOP + this.high + 19, "text-anchor": "middle", class: "axis" }, small ? MONTHS[m][0] : MONTHS[m].slice(0, 3)));
      if (m) svg.append(draw("line", { x1: a, x2: a, y1: TOP + this.high, y2: TOP + this.high + 5, class: "tick" }));
    }
  }

  /** Each line of equal light carries its lux where it runs in the evening. */
  #levelNames(svg) {
    const taken = [];
    this.data.layers.levels.forEach((level, i) => {
      const points = [...level.d.matchAll(/([\d.]+) ([\d.]+)/g)].map((m) => [this.#x(Number(m[1])), this.#y(Number(m[2]))]);
      const wanted = this.left + this.wide * (0.16 + 0.2 * (i % 4));
      const near = points.sort((a, b) => (Math.abs(a[0] - wanted) - Math.abs(b[0] - wanted)) + (b[1] - a[1]) * 0.3);
      const free = near.find(([x, y]) => x > this.left + 30 && x < this.left + this.wide - 40 && !taken.some(([tx, ty]) => Math.abs(tx - x) < 64 && Math.abs(ty - y) < 18));
      if (!free) return;
      taken.push(free);
      svg.append(draw("text", { x: free[0], y: free[1] + 4, "text-anchor": "middle", class: "level-name" }, `${level.lx} lx`));
    });
  }

  #x(column) { return this.left + (column / this.data.layers.days) * this.wide; }
  #y(minute) { const l = this.data.layers; return TOP + ((minute - l.first_hour * 60) / ((l.last_hour - l.first_hour) * 60)) * this.high; }
  #column(date) { return Math.round((date - this.first) / 86400000); }
  #date(column) { return new Date(this.first.getTime() + column * 86400000); }

  #markDay() {
    const date = new Date(`${this.dayShown()}T00:00:00Z`);
    this.column = Math.max(0, Math.min(this.data.layers.days - 1, this.#column(date)));
    const x = this.#x(this.column + 0.5);
    this.today?.setAttribute("d", `M${x - 6} ${TOP - 10}h12l-6 9zM${x} ${TOP}v${this.high}`);
  }

  /** Read out a day and a time. */
  #at(column, minute) {
    const { data } = this, l = data.layers;
    this.column = Math.max(0, Math.min(l.days - 1, column));
    this.minute = Math.max(l.first_hour * 60, Math.min(l.last_hour * 60 - data.read_min, Math.round(minute / data.read_min) * data.read_min));
    const x = this.#x(this.column + 0.5), y = this.#y(this.minute);
    for (const [line, a, b, v] of [[this.down, "x1", "x2", x], [this.across, "y1", "y2", y]]) { line.setAttribute(a, v); line.setAttribute(b, v); line.removeAttribute("visibility"); }
    this.read.replaceChildren(this.#words(), " ", this.#goButton());
  }

  #goButton() {
    this.button ??= make("button", { type: "button", class: "quiet", onclick: () => this.#go() });
    const date = this.#date(this.column);
    this.button.textContent = `Show ${date.getUTCDate()} ${MONTHS[date.getUTCMonth()]}`;
    return this.button;
  }

  #words() {
    const { data } = this, date = this.#date(this.column);
    const lux = data.lux[this.column][(this.minute - data.layers.first_hour * 60) / data.read_min];
    const name = `${WEEKDAYS[date.getUTCDay()]} ${date.getUTCDate()} ${MONTHS[date.getUTCMonth()]}, ${this.#clock()}`;
    if (lux === null) return `${name}: ${SAID.skipped}`;
    const within = (spans) => spans[this.column].some(([a, b]) => a <= this.minute && this.minute < b);
    const light = luxWords(lux, lux * data.spread[0], lux * data.spread[1]);
    return `${name}: ${light}, ${within(data.good) ? "good" : "not good"}${within(data.sun) ? ", direct sun on the dish" : ""}.`;
  }

  #clock() { return `${String(Math.floor(this.minute / 60)).padStart(2, "0")}:${String(this.minute % 60).padStart(2, "0")}`; }
  #go() { this.go(this.#date(this.column).toISOString().slice(0, 10), this.#clock()); }

  #key(event) {
    if (!this.data || event.ctrlKey || event.metaKey || event.altKey) return;
    const moves = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -15], ArrowDown: [0, 15], PageUp: [-30, 0], PageDown: [30, 0], Home: [-400, 0], End: [400, 0] };
    if (event.key === "Enter") { event.preventDefault(); this.#go(); return; }
    const move = moves[event.key];
    if (!move) return;
    event.preventDefault();
    this.#at(this.column + move[0], this.minute + move[1]);
  }

  #pointer() {
    let from = null;
    const cell = (event) => {
      const box = this.place.getBoundingClientRect(), l = this.data.layers;
      return [Math.floor(((event.clientX - box.left - this.left) / this.wide) * l.days), l.first_hour * 60 + ((event.clientY - box.top - TOP) / this.high) * (l.last_hour - l.first_hour) * 60];
    };
    this.place.addEventListener("pointermove", (event) => { if (this.data) this.#at(...cell(event)); });
    this.place.addEventListener("pointerdown", (event) => { from = [event.clientX, event.clientY]; if (this.data) this.#at(...cell(event)); });
    this.place.addEventListener("pointerup", (event) => {
      // a tap or a click goes there; a finger that was drawn along only read
      if (this.data && from && Math.hypot(event.clientX - from[0], event.clientY - from[1]) < TAP_PX) this.#go();
      from = null;
    });
    this.place.addEventListener("pointercancel", () => { from = null; });
  }
}

// The light page: what is asked stands in the address, so that a reload and a second tablet show the same.
/** @import { DayShown } from "../core/facts" */
import { ask } from "../core/ask.js";
import { given, make, one, drawing, settled } from "../core/dom.js";
import { follow, on } from "../core/live.js";
import { markField } from "../core/save.js";
import { say, trying } from "../core/say.js";
import { clockOf } from "../core/clock.js";
import { Curve } from "./curve.js";
import { SAID } from "./words.js";
import { latest } from "../core/latest.js";
import { Pictures } from "./picture.js";
import { drawWeek, drawWhatIfs } from "./asides.js";
import { ownSky } from "./file.js";
import { toPlan } from "./to_plan.js";
import { Year } from "./year.js";

const here = given("given");
const form = one("#choices"), slider = one("#slider"), clock = one("#clock");
const OLD = ["#plan", "#facts", "#what-ifs", "#week", "#year"];
/** None before the first answer. @type {DayShown} */
let day;
let index = -1, wantedClock = clock.value, turn = 0, asides = new AbortController();

/** What is asked, as the address and the server take it. */
function choices() {
  const query = new URLSearchParams();
  for (const name of ["for", "sky", "day", "lux", "fill"]) {
    const value = form.elements[name].value.trim();
    if (value) query.set(name, value);
  }
  if (form.elements.sun.checked) query.set("sun", "yes");
  // a day half typed, or none: asked is the day whose answer stands there
  if (!form.elements.day.validity.valid) {
    if (day) query.set("day", day.day); else query.delete("day");
  }
  return query;
}

function keepInAddress() {
  const query = choices();
  if (day) query.set("at", day.clocks[index]);
  history.replaceState(null, "", `/light?${query}`);
}

const curve = new Curve(one("#curve"), (i) => show(i), () => refresh());
const year = new Year({
  choices, day: () => choices().get("day"),
  go: (date, at) => {
    wantedClock = at;
    setDay(date);
    one("#day-title").scrollIntoView({ block: "start" });
    slider.focus({ preventScroll: true });
  },
});
const pictures = new Pictures({ choices, shot: shotNow, clock: () => day?.clocks[index] });

/**
 * Everything again: the day first, since it is waited for; then the hour, the week and the year. anew: the
 * settings may have changed since.
 */
async function refresh(anew = false) {
  const mine = ++turn, query = choices();
  if (!query.has("day")) return;
  // the week and what would change the light of what was asked before: their seconds are for what is asked
  // now
  asides.abort();
  asides = new AbortController();
  one(".light").setAttribute("aria-busy", "true");
  // what was worked out for what was asked before stands there, pale, until the new comes
  for (const place of OLD) one(place).classList.add("old");
  pictures.fits(shotNow());
  try {
    const found = await ask(`/light/day?${query}${curve.small ? "&small=yes" : ""}`);
    if (mine !== turn) return;
    day = found;
    for (const name of NEEDS) mark(name, "");
    drawDay();
    pictures.of(found.settings);
  } catch (error) {
    if (mine === turn) mistaken(error);
    return;
  } finally {
    if (mine === turn) one(".light").removeAttribute("aria-busy");
  }
  drawTheWeek(query, mine);
  year.show(anew);
}

const NEEDS = ["lux", "fill"];

/** The answer that stands there stays: it is still true of what was asked before. */
function mistaken(error) {
  // mistakes in the files have a page of their own
  if (error.mistakes?.length) { location.reload(); return; }
  const field = NEEDS.find((name) => name === error.reply?.field);
  for (const name of NEEDS) mark(name, name === field ? error.message : "");
  if (!field) say(error.message, null, 9000);
  if (!day) one("#lead").textContent = field ? SAID.fixFirst : error.message;
}

function mark(name, words) {
  const input = form.elements[name];
  markField(input.closest(".field"), words);
  // what the field is for is still to be heard beside what is wrong with it
  input.setAttribute("aria-describedby", words ? `said-${name} ${name}-hint` : `${name}-hint`);
  if (!words) input.removeAttribute("aria-invalid");
}

function drawDay() {
  one("#answer").textContent = day.answer;
  one("#lead").textContent = day.lead;
  one("#day-title").textContent = `${day.day_words}, ${day.sky}`;
  one("#day-facts").textContent = day.sentences.join(" ");
  one("#caution").textContent = day.caution;
  Object.assign(slider, { min: day.first, max: day.last, disabled: false });
  curve.draw(day);
  const asked = day.clocks.indexOf(clockOf(wantedClock));
  show(asked >= 0 ? asked : beginning());
}

/** Without an hour in the address: now, when it is light now; else the brightest good moment. */
function beginning() {
  const now = day.day === here.today ? day.clocks.indexOf(clockOf(here.clock)) : -1;
  return now >= day.first && now <= day.last ? now : day.best;
}

/** One hour of the day: everything that is known follows at once, the plan as soon as it is drawn. */
function show(i) {
  ofClock("");
  index = Math.max(day.first, Math.min(day.last, i));
  slider.value = index;
  wantedClock = clock.value = day.clocks[index];
  slider.setAttribute("aria-valuetext", day.states[index]);
  one("#now-words").replaceChildren(make("strong", {}, day.clocks[index]), ` ${day.now[index]}`);
  curve.mark(index);
  moment(index);
  whatIfs();
  keep();
}

/** What is to be said of the hour that was typed. */
function ofClock(words, wrong = false) {
  one("#clock-said").textContent = words;
  if (wrong) clock.setAttribute("aria-invalid", "true"); else clock.removeAttribute("aria-invalid");
}

const keep = settled(250, keepInAddress);

const moment = latest(async (i) => {
  const mine = turn, section = one("#plan").clientWidth > 620 ? "yes" : "no";
  const query = choices();
  query.set("moment", day.iso[i]);
  query.set("section", section);
  const found = await trying(() => ask(`/light/moment?${query}`));
  if (!found || mine !== turn) return;
  const place = one("#plan"), first = !place.firstChild;
  place.replaceChildren(drawing(found.plan));
  for (const at of ["#plan", "#facts"]) one(at).classList.remove("old");
  if (first) place.scrollLeft = (place.scrollWidth - place.clientWidth) / 2;
  one("#facts")
    .replaceChildren(...found.facts.map((f) =>
    make("div", {}, make("dt", {}, f.name), make("dd", {}, f.value))));
  one("#caution").hidden = !found.sun_up;
  one(".moment").dataset.at = found.clock;
});

const askWhatIfs = latest(async (i) => {
  const mine = turn, query = choices(), place = one("#what-ifs");
  query.set("moment", day.iso[i]);
  place.setAttribute("aria-busy", "true");
  const found = await trying(() => ask(`/light/what-ifs?${query}`, asides.signal));
  if (!found || mine !== turn) return;
  place.removeAttribute("aria-busy");
  place.classList.remove("old");
  drawWhatIfs(place, found);
});
const whatIfs = settled(500, () => askWhatIfs(index));

async function drawTheWeek(query, mine) {
  const found = await trying(() => ask(`/light/week?${query}`, asides.signal));
  if (!found || mine !== turn) return;
  one("#best-week").textContent = found.answer;
  one("#best-week").hidden = false;
  one("#week").classList.remove("old");
  drawWeek(one("#week"), found, query.get("day"), (date) => { setDay(date); });
}

function shotNow() {
  const [kind, ...rest] = form.elements.for.value.split(":"), name = rest.join(":");
  if (kind === "shot") return name;
  return here.shots.find((s) => here.spot_of_shot[s] === name) || here.shots[0] || "";
}

function setDay(date) {
  form.elements.day.value = date;
  refresh();
}

function dayAfter(days) {
  const at = new Date(`${choices().get("day")}T12:00:00Z`);
  at.setUTCDate(at.getUTCDate() + days);
  return at.toISOString().slice(0, 10);
}

ownSky({ day: () => form.elements.day.value, choices });
form.addEventListener("submit", (event) => { event.preventDefault(); refresh(); });
form.addEventListener("change", () => refresh());
form.addEventListener("change", toPlan(choices));
slider.addEventListener("input", () => show(Number(slider.value)));
slider.addEventListener("keydown", (event) => {
  // an hour at a time, as a clock is turned
  const step = { PageUp: 12, PageDown: -12 }[event.key];
  if (step) { event.preventDefault(); show(index + step); }
});
clock.addEventListener("change", () => {
  if (!day) return;
  const typed = clock.value.trim(), at = day.clocks.indexOf(clockOf(typed));
  // what is no time stays as it was typed, with the sentence, until it is mended or another hour is chosen
  if (at < 0) { ofClock(SAID.noTime(typed, day.clocks[index]), true); return; }
  show(at);
  const dark = (hour) => SAID.darkThen(day.clocks[at], hour, day.clocks[index]);
  ofClock(at < day.first ? dark("first") : at > day.last ? dark("last") : "");
});
one("#today").addEventListener("click", () => setDay(here.today));
one("#shoot-day").addEventListener("click", () => setDay(here.shoot_day));
one("#earlier").addEventListener("click", () => setDay(dayAfter(-1)));
one("#later").addEventListener("click", () => setDay(dayAfter(1)));
const mayHaveChanged = () => refresh(true);
on("settings", mayHaveChanged);
on("connected", mayHaveChanged);
// a file that was changed in an editor is told by nobody
document.addEventListener("visibilitychange", () => { if (!document.hidden) mayHaveChanged(); });
follow(here.row);
refresh();

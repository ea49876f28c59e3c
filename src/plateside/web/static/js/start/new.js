// The first run: one question at a time, from nothing to "when is my light".
/** @import { Begun, FirstRunShown, KindSaid, Wrong } from "../core/facts" */
import { ask, tell } from "../core/ask.js";
import { all, given, one, settled } from "../core/dom.js";
import { markField } from "../core/save.js";
import { cityField } from "./city.js";
import { compass } from "./compass.js";
import { count, fNumber, focal, length } from "./number.js";
import { sketch, takeAway } from "./sketch.js";
import { ASK } from "./words.js";

/** @type {FirstRunShown} */
const { usual, outside_usual: outsideUsual } = given("given");
const form = one("#first-run"), steps = all("[data-step]"), KEPT = "plateside first run";
/** By a question's name; the place is a City. @type {Record<string, any>} */
const answers = { place: null, ...usual };
const AT = `${KEPT} at`;
let now = 0, begun = 0;

// what was answered outlives a reload of the page
try {
  Object.assign(answers, JSON.parse(sessionStorage.getItem(KEPT) || "{}"));
  begun = Math.max(0, steps.findIndex((section) => section.dataset.step === sessionStorage.getItem(AT)));
} catch { /* begin anew */ }
let made = false;
const keep = () => {
  // a word that comes late from the server must not bring back what is done with
  if (made) return;
  try {
    sessionStorage.setItem(KEPT, JSON.stringify(answers));
    sessionStorage.setItem(AT, steps[now].dataset.step);
  } catch { /* not kept */ }
};

const city = cityField(one("#city"),
  { id: "a-place", label: ASK.town, now: answers.place, chosen: (found) => {
  answers.place = found;
  dial.setLatitude(found.latitude_deg);
  changed();
}, left: () => { answers.place = null; dial.setLatitude(null); takeAway(); changed(); } });
const dial = compass(one("#compass"),
  { id: "a-facing_deg", label: ASK.facing, value: answers.facing_deg,
  latitude: answers.place?.latitude_deg ?? null, turned: (deg) => {
  answers.facing_deg = deg;
  changed();
} });
city.input.addEventListener("input", () => markField(one("#city"), ""));

/** How an answer is read, and how it may be written. */
const READ = { focal_mm: [focal, ASK.focal], focal2_mm: [focal, ASK.focal], f_number2: [fNumber, ASK.fNumber],
  floor: [count, ASK.floor], f_number: [fNumber, ASK.fNumber], megapixels: [count, ASK.megapixels] };
const LENGTH = [length, ASK.metres];
/** Ends of a zoom, by the field in which both are written. */
const LONG_END = { focal_mm: "focal_to_mm", focal2_mm: "focal2_to_mm" };
const inField = (name) => (answers[LONG_END[name]]
  ? `${answers[name]}-${answers[LONG_END[name]]}` : answers[name] ?? "");

const unread = new Set();
const texts = ["dish", "creator", "date", "folder"];
const empty = ["window_from_left_m", "table_from_left_m", "outside_distance_m",
  "outside_height_m", "focal2_mm", "f_number2"];
for (const input of all("input[name]", form)) {
  const name = input.name;
  if (input.type === "radio") {
    if (name === "sensor") input.checked = input.value === answers.sensor;
    if (name === "lens") input.checked = input.value === (answers.lens ?? "35/1.8");
    if (name === "outside") input.checked = input.value === answers.outside;
  } else input.value = inField(name);
  input.addEventListener("input", () => {
    if (name === "sensor") answers.sensor = input.value;
    else if (name === "outside") standsOutside(input.value);
    else if (name === "lens") {
      answers.lens = input.value;
      if (input.value) {
        const [mm, opens] = input.value.split("/");
        [answers.focal_mm, answers.focal_to_mm] = focal(mm);
        answers.f_number = Number(opens);
      }
      one("#own-lens").hidden = Boolean(input.value);
      for (const each of ["focal_mm", "f_number"]) form.elements[each].value = inField(each);
    } else if (texts.includes(name)) {
      answers[name] = input.value;
      markField(input.closest(".field"), input.validity.badInput ? ASK.day : "");
    }
    else {
      const [reads, how] = READ[name] ?? LENGTH, read = reads(input.value), field = input.closest(".field");
      const wrong = Number.isNaN(read) ? ASK.unread(input.value, how)
        : read === null && !empty.includes(name) ? ASK.missing : "";
      markField(field, wrong);
      if (wrong) unread.add(input); else {
        unread.delete(input);
        if (name in LONG_END) [answers[name], answers[LONG_END[name]]] = read ?? [null, null];
        else answers[name] = read;
      }
    }
    changed();
  });
}
one("#own-lens").hidden = answers.lens !== "";
one("#outside-sizes").hidden = !(answers.outside in outsideUsual);

/** What stands there has a usual distance and height, shown to be corrected. */
function standsOutside(what) {
  const sizes = outsideUsual[what];
  Object.assign(answers, { outside: what,
    outside_distance_m: sizes?.distance_m ?? null, outside_height_m: sizes?.height_m ?? null });
  one("#outside-sizes").hidden = !sizes;
  for (const name of ["outside_distance_m", "outside_height_m"]) {
    form.elements[name].value = inField(name);
    unread.delete(form.elements[name]);
    markField(form.elements[name].closest(".field"), "");
  }
}

// the dish's name often says what it looks like; what you choose yourself stays
const kind = one("#a-kind");
kind.value = answers.kind;
kind.addEventListener("change", () => {
  Object.assign(answers, { kind: kind.value, kind_chosen: true });
  markField(kind.closest(".field"), "");
  keep();
});
async function guessKind() {
  if (answers.kind_chosen) return;
  const { dish } = answers;
  const { kind: found } = await ask(`/start/kind?dish=${encodeURIComponent(dish)}`);
  // by its name, not by when it was asked: who presses on has asked before the pause after the last letter does
  if (answers.kind_chosen || dish !== answers.dish) return;
  answers.kind = found;
  kind.value = found;
  if (found) markField(kind.closest(".field"), "");
  keep();
}
one("#a-dish").addEventListener("input", settled(250, () => guessKind().catch(() => { /* it is asked */ })));

const today = () => {
  const at = new Date();
  return new Date(at.getTime() - at.getTimezoneOffset() * 60000).toISOString().slice(0, 10);
};

function changed() {
  keep();
  // it may be meant, for a shoot that is over; a mistyped year is more likely
  one("#date-past").textContent = answers.date && answers.date < today() ? ASK.past : "";
  sketch(steps[now].dataset.step, answers);
}

function show(step, focus = true) {
  now = Math.max(0, Math.min(step, steps.length - 1));
  steps.forEach((section, n) => { section.hidden = n !== now; });
  one("#where-we-are").textContent = ASK.question(now + 1, steps.length);
  one("#so-far").value = now + 1;
  one("#back").hidden = now === 0;
  one("#usual").hidden = now < 2 || now === steps.length - 1;
  one("#go").textContent = now === steps.length - 1 ? ASK.last : "Next";
  one("#trouble").textContent = "";
  changed();
  if (focus) { one("h1", steps[now]).focus(); scrollTo({ top: 0 }); }
}

/** A mistake at the question it belongs to. */
function tellAt(name, words) {
  const field = one(`[data-answer="${name}"]`, form), section = field.closest("[data-step]");
  if (section !== steps[now]) show(steps.indexOf(section));
  if (name === "focal_mm" || name === "f_number") one("#own-lens").hidden = false;
  markField(field, words);
  field.querySelector("input, select, [tabindex]")?.focus();
}

/**
 * Whether the answers to a question (to all, when none is named) can be; what cannot is told where it was
 * asked.
 */
async function checked(question) {
  const from = now;
  one("#trouble").textContent = "";
  /** @type {Wrong["wrong"]} */
  let wrong;
  try {
    ({ wrong } = await tell("/start/check", { ...answers, question }));
  } catch (error) { one("#trouble").textContent = error.message; return false; }
  if (now !== from) return false;
  for (const field of all(".field.wrong", form)) if (
    !unread.has(field.querySelector("input"))) markField(field, "");
  const faults = Object.entries(wrong)
    .filter(([name]) => form.querySelector(`[data-answer="${CSS.escape(name)}"]`));
  // the first question with something to fix is the one that is shown
  for (const [name, words] of faults.sort(([a], [b]) => place(b) - place(a))) tellAt(name, words);
  return !faults.length;
}
const place = (name) => all("[data-answer]", form).findIndex((field) => field.dataset.answer === name);

async function finish() {
  one("#go").disabled = true;
  try {
    /** @type {Begun} */
    const { next } = await tell("/start/new", answers);
    made = true;
    try { sessionStorage.removeItem(KEPT); sessionStorage.removeItem(AT); } catch { /* nothing kept */ }
    location.assign(next);
  } catch (error) {
    const at = (error.mistakes || [])
      .filter((m) => m.path?.length
      && form.querySelector(`[data-answer="${CSS.escape(String(m.path[0]))}"]`));
    if (at.length) for (const m of at.reverse()) tellAt(m.path[0], m.said);
      else one("#trouble").textContent = error.message;
  } finally { one("#go").disabled = false; }
}

// one press after the other: what is pressed while an answer is being looked at is meant for the next
// question
let turn = Promise.resolve();
form.addEventListener("submit", (event) => {
  event.preventDefault();
  turn = turn.then(next);
});

async function next() {
  const wrong = [...unread].find((input) => steps[now].contains(input));
  if (wrong) { wrong.focus(); return; }
  if (dial.wrong() && steps[now].dataset.step === "facing") { one("#a-facing_deg-number").focus(); return; }
  if (steps[now].dataset.step === "place") {
    try { answers.place = await city.settle(); } catch (error) {
      markField(one("#city"), error.message.split("\n").slice(0, 4).join(" "));
      city.input.focus();
      return;
    }
    markField(one("#city"), "");
  }
  if (now < steps.length - 1) { if (await checked(steps[now].dataset.step)) show(now + 1); return; }
  for (const field of all(".field.wrong", form)) markField(field, "");
  if (answers.dish.trim()) await guessKind().catch(() => { /* it is asked */ });
  if (answers.dish.trim() && !answers.kind) { tellAt("kind", ASK.kind); return; }
  await finish();
}
// a mouse's double click is one press: its second half would answer a question that was not read
one("#go").addEventListener("click", (event) => {
  if (event.detail > 1 && event.pointerType !== "touch") event.preventDefault();
});
one("#back").addEventListener("click", () => show(now - 1));
one("#usual").addEventListener("click", () => {
  turn = turn.then(async () => { if (!unread.size && await checked("")) show(steps.length - 1); });
});
// a page that was loaded again goes on at its question
show(answers.place ? begun : 0, false);
if (now === 0) city.input.focus(); else one("h1", steps[now]).focus();

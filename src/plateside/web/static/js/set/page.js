// The set's screen: drawn from /set/now, which the journal alone decides; a row is shown at once and then
// asked about.
import "../core/copied.js";
/** @import { SetScreen } from "../core/facts" */
import { ask } from "../core/ask.js";
import { focused, given, one } from "../core/dom.js";
import { newest } from "../core/latest.js";
import { follow, lostSince, on, sawRow } from "../core/live.js";
import { say } from "../core/say.js";
import { ServerClock } from "../core/server_clock.js";
import { Closer } from "../closer/closer.js";
import { bright, dark, isBright } from "./bright.js";
import { openClearing } from "./clearing.js";
import { listen } from "./keys.js";
import { LightLeft } from "./light.js";
import { Measured } from "./measured.js";
import { Picture } from "./picture.js";
import { Presses } from "./presses.js";
import { showSafe } from "./safe.js";
import { shape } from "./shapes.js";
import { Sheet } from "./sheet.js";
import { fit, fitsBelow } from "./sizes.js";
import { ready, sound, unlock, unlocked, muted } from "./sounds.js";
import { begun, state } from "./state.js";
import { Todo } from "./todo.js";
import { ABOUT, TODO, age, spoken, withUnbrokenUnits } from "./words.js";

const main = one("#main"), noted = one("#noted"), look = one("#look");
const FRESH_MS = 15000, SLEPT_MS = 6000, READ_MS = 60000, STAYS_AWAY_MS = 5000;
/** @type {SetScreen} */
let now = given("given");
/** @type {{lost: Date | null, trouble: any, provisional: any}} */
const pageState = { lost: null, trouble: now.trouble, provisional: null };
const clock = new ServerClock();
clock.heard(now.at, performance.timeOrigin);
const question = newest();
/** How often the watcher's own news was heard. */
let told = 0;
let asking = false, askAgain = false, readFrom = 0, clearing = 0, retry = 0,
  heard = now.frame?.word ? now.frame.id : "";
const serverNow = () => clock.now();

// a place of its own within the page: what is said covers neither the shape nor the word
main.append(one("#say"));

const measured = new Measured({ now: () => now, drawn: () => { lay(); sheet.filled(); },
  lacks: () => { draw(); sheet.filled(); } });
const picture = new Picture({ now: () => now, marks: () => measured.marks, loaded: () => draw(true) });
const light = new LightLeft({ shot: () => shotOf(now), time: serverNow,
  changed: () => { draw(); sheet.filled(); } });
const presses = new Presses({ now: () => now, lost: () => pageState.lost, refresh });
const sheet =
  new Sheet({ now: () => now, marks: () => measured.marks,
  light: () => light.now, slot: (shot) => todo.slot(shot), lacks: () => measured.lacks(),
  standing: (shot) => todo.standing(shot, serverNow()), readFrom: () => readFrom,
  refresh, redraw: () => draw(true), bright });

const todo = new Todo(() => draw(true));

const closer = new Closer({ now: () => now, told: () => state(now, pageState), marks: () => measured.marks,
  facts: () => measured.facts(), room: () => lay(), closed: () => { focused()?.blur(); draw(true); } });

/** The shot that the screen speaks of. @type {(reply: SetScreen) => string} */
const shotOf = (reply) => reply.current || reply.frame?.shot || "";

/* ---- drawing ------------------------------------------------------------------------------------------ */

let drawnKey = "";
function draw(again = false) {
  const reply = state(now, pageState), begins = !begun(now);
  shape(one("#shape"), reply.name);
  setText("#word", reply.word);
  setText("#act", withUnbrokenUnits(reply.act));
  setText("#noted", reply.noted || "");
  const lacks = reply.alone || begins ? [] : measured.lacks();
  closer.filled();
  one("#word").classList.toggle("first", Boolean(reply.first));
  main.classList.toggle("alone", Boolean(reply.alone));
  main.dataset.state = reply.name;
  main.dataset.row = now.row;
  drawAbout();
  drawPicture();
  presses.draw();
  // what is said has a row of its own for its seconds: the letters are fitted to what is left
  const said = one("#say").textContent;
  const key = [said, reply.word, reply.act, reply.noted, one("#shot").textContent, one("#aside").textContent,
    one("#light").textContent, reply.alone, Boolean(now.frame), begins, ...lacks].join("|");
  if (again || key !== drawnKey) {
    drawnKey = key;
    one("#ahead").hidden = true;
    readFrom = fit(main, one("#word"), one("#act"), noted);
    fitAhead(lacks);
    lay();
    todo.fit();
  }
}

/** What a delivery will lack stands below the act where the act keeps its size: whole, else in short. */
function fitAhead(lacks) {
  const line = one("#ahead"), holds = () => fitsBelow(main, one("#word"), one("#act"));
  for (const words of [lacks[0], measured.known?.lead, ""]) {
    line.textContent = lacks.length && words ? withUnbrokenUnits(words) : "";
    line.hidden = !line.textContent;
    if (line.hidden || holds()) return;
  }
}

function setText(selector, words) {
  const place = one(selector);
  if (place.textContent !== words) place.textContent = words;
}

function drawAbout() {
  const frame = begun(now) ? now.frame : null;
  setText("#age", frame ? age((serverNow() - Date.parse(frame.landed_at)) / 1000) : ABOUT.noFrame);
  const of = shotOf(now), shot = of ? ABOUT.shot(of, frame?.guessed && frame.shot === of) : ABOUT.noShot;
  setText("#shot", withUnbrokenUnits(`${shot}, ${ABOUT.toKeep(now.left, now.shots.length)}`));
  const unused = now.not_used_count ? ABOUT.notUsed(now.not_used_count) : "";
  const slot = !frame && now.current ? todo.slot(now.current) : null;
  const standing = slot && todo.standing(now.current, serverNow());
  main.dataset.standing = standing ? standing.code : "";
  const at = standing ? TODO.when(standing, slot) : nextLate(frame), watching = now.watching ? "" : ABOUT.notWatching;
  const aside = [at, frame?.burst || "", now.grey[0] || "", watching, unused, now.safe?.short || ""];
  setText("#aside", withUnbrokenUnits(aside.filter(Boolean).join(", ")));
  setText("#light", light.words());
  one("#silent").classList.toggle("hidden", !locked() && !muted());
  one("#silent").setAttribute("aria-label", muted() ? ABOUT.soundOff : ABOUT.noSound);
}

/** While a shot is being taken, that the next one is late by now. */
function nextLate(frame) {
  const next = frame && now.next_shot && todo.standing(now.next_shot, serverNow());
  return next && next.code === "late" ? TODO.nextLate(spoken(now.next_shot), next) : "";
}

/** A browser plays nothing before the first press. */
const locked = () => !(unlocked() && ready()) && !muted();

/* ---- the frame ---------------------------------------------------------------------------------------- */

function drawPicture() {
  const frame = begun(now) ? now.frame : null;
  const isOther = picture.show(frame);
  todo.show(!frame && now.current ? now.current : "", light.white_k);
  one("#ways").hidden = Boolean(now.frame || now.current);
  if (!frame || !isOther) return;
  measured.begin(frame.id);
  if (frame.word) measured.ask();
}

function lay() {
  closer.filled();
  picture.lay();
}
new ResizeObserver(lay).observe(look);

look.addEventListener("click", (event) => {
  if (event.detail) look.blur();
  if (now.frame) closer.open();
});
one("#todo").addEventListener("click", () => {
  const figures = todo.figures(now.current, serverNow(), light.white_k);
  if (figures.length) bright(figures, READ_MS);
});
one("#about").addEventListener("click", () => sheet.open());
one("#last-check").addEventListener("click", openClearing);

/* ---- what the server tells ---------------------------------------------------------------------------- */

/** Ask what is so; many calls become one, and a call that failed is made again: no row may be missed. */
async function refresh() {
  if (asking) { askAgain = true; return; }
  asking = true;
  try {
    do {
      askAgain = false;
      await askNow();
    } while (askAgain);
  } catch (error) {
    // it answers, and says that it cannot tell: an old word must not stand for a new one
    if (error.status) trouble(error.message);
    clearTimeout(retry);
    retry = setTimeout(refresh, 1000);
  } finally { asking = false; }
}

/** @param {AbortSignal} [signal] */
async function askNow(signal) {
  const asked = Date.now(), isNewest = question(), before = told;
  const reply = await ask("/set/now", signal);
  clock.heard(reply.at, asked);
  // after a sleep it is asked beside a question that may hang
  if (!isNewest()) return;
  take(reply);
  // what was told since the question is newer
  if (before === told) trouble(reply.trouble);
}

/** @param {SetScreen} reply */
function take(reply) {
  if (reply.row < now.row && reply.shots.length) return;
  const before = now;
  now = reply;
  sawRow(reply.row);
  // what was said of the old shot's light is not true of this one
  if (shotOf(before) !== shotOf(now)) light.askAnew();
  draw();
  showSafe(now.safe);
  // asked once, when the light has moved; it stays beside the frame until one has come
  if (now.grey[1] && !before.grey[0] && shotOf(before) === shotOf(now)) say(now.grey[1], null, 9000);
  // a word that the answer brings before its row comes is heard with it; an old one is left to its row
  if (now.frame && isFresh(now.frame.landed_at)) hearWord(true);
  if (before.frame?.id === now.frame?.id && before.frame?.word !== now.frame?.word) measured.ask();
  sheet.filled();
}

const isFresh = (at) => Math.abs(serverNow() - Date.parse(at)) < FRESH_MS;

/** The sound comes once, with the word, whichever of row and answer brings it first. */
function hearWord(fresh) {
  if (!now.frame?.word || now.frame.id === heard) return;
  heard = now.frame.id;
  if (fresh) sound(now.frame.word === "good" ? "good" : "change");
}

const decided = ({ kind, data, n }) => {
  if (!now.frame || now.frame.id !== data.frame) return;
  now = { ...now, row: n, frame: { ...now.frame, pressed: kind } };
  draw();
};

/** What a row changes at once, before the screen has been asked for. */
const AT_ONCE = {
  "frame landed": ({ data, n, at }) => {
    // the raw of a frame that is not the last one: the screen goes on speaking of the last
    if (data.replaces && data.replaces !== now.frame?.id) return;
    pageState.provisional = null;
    now = { ...now, row: n, frame: { id: data.frame, name: data.name, shot: now.current, guessed: false,
      landed_at: at, word: "", act: "", short_act: "",
      confidence: 1, pressed: "", chart: false, test_frame: false, layer: false, burst: "", burst_reason: "",
      look_at: null } };
    dark();
    draw();
  },
  verdict: ({ data, n }, fresh) => {
    if (!now.frame || now.frame.id !== data.frame) return;
    now = { ...now, row: n, frame: { ...now.frame, word: data.word, act: data.act,
      short_act: now.frame.act === data.act ? now.frame.short_act : data.act, confidence: data.confidence } };
    draw();
    hearWord(fresh);
    picture.load(data.frame);
    measured.ask();
  },
  "chart seen": ({ data, n }) => {
    if (!now.frame || now.frame.id !== data.frame) return;
    now = { ...now, row: n, frame: { ...now.frame, shot: "", chart: true } };
    draw();
  },
  kept: decided, again: decided,
  // what the frame is held against has changed
  "grey card": () => measured.ask(), undo: () => measured.ask(),
  "file set aside": ({ data }, fresh) => { if (fresh) say(data.reason, null, 12000); },
};

on("row", (row) => {
  AT_ONCE[row.kind]?.(row, isFresh(row.at));
  refresh();
});

on("provisional", (reply) => {
  pageState.provisional = { frame: reply.frame, word: reply.word, words: reply.words };
  draw();
});
on("light", () => light.ask());
on("safe", refresh);
on("waiting", (reply) => say(reply.words, null, 9000));
on("copy", (reply) => say(reply.words));
on("settings", () => { todo.forget(); refresh(); });
on("watcher", ({ words }) => { told += 1; trouble(words); });
on("lost", (since) => { pageState.lost = since; draw(); });
on("connected", () => { pageState.lost = null; draw(); refresh(); });

/**
 * Why frames are not judged; taken back only when it stays away: a watcher that fails at once is started
 * again and again.
 */
function trouble(words) {
  if (words) {
    clearTimeout(clearing);
    clearing = 0;
    pageState.trouble = words;
    draw();
  } else if (pageState.trouble) {
    clearing ||= setTimeout(() => { clearing = 0; pageState.trouble = ""; draw(); }, STAYS_AWAY_MS);
  }
}

/* ---- presses ------------------------------------------------------------------------------------------ */

for (const kind of ["pointerup", "keyup"]) addEventListener(kind, () => {
  if (locked()) unlock().then(() => draw(), () => {});
}, true);
addEventListener("contextmenu", (event) => { if (!sheet.isOpen) event.preventDefault(); });
listen((name) => {
  // a pedal brings back the set from what lies over it; the next press counts
  if (isBright()) dark();
  else if (closer.isOpen) closer.close();
  else presses.press(name);
}, () => sheet.isOpen);

/* ---- time --------------------------------------------------------------------------------------------- */

let ticked = Date.now(), waking = false;
setInterval(() => {
  if (Date.now() - ticked > SLEPT_MS && !pageState.lost) { pageState.lost = new Date(ticked); wake(); }
  ticked = Date.now();
  draw();
  light.going();
}, 1000);

/** After a sleep what stands here is old: it counts again only when the server has said so. */
async function wake() {
  if (waking) return;
  waking = true;
  draw();
  while (pageState.lost && !lostSince()) {
    try {
      await askNow(AbortSignal.timeout(3000));
      if (!lostSince()) pageState.lost = null;
    } catch { await new Promise((resolve) => setTimeout(resolve, 1000)); }
  }
  waking = false;
  draw();
}

async function stayAwake() {
  // only where the page counts as secure; elsewhere the tablet's own setting is needed, and the sheet says so
  try { await navigator.wakeLock?.request("screen"); } catch { /* refused: low battery */ }
}
document.addEventListener("visibilitychange", () => { if (!document.hidden) { stayAwake(); refresh(); } });
addEventListener("resize", () => draw(true));
// what is damaged was read, and its place is free
new MutationObserver(() => draw()).observe(one("#say"), { childList: true });
new ResizeObserver(() => { if (!document.body.classList.contains("flow")) draw(true); }).observe(main);

draw(true);
showSafe(now.safe);
follow(now.row);
if (!now.frame || now.frame.word) measured.ask();
light.ask();
stayAwake();
if (now.unwatched.length) say(now.unwatched[0], null, 8000);
document.fonts?.ready.then(() => draw(true));

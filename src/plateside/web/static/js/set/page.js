// Over 400 lines: one screen: what is known of it, drawn, heard and pressed, stands in one scope.
// The set's screen: drawn from /set/now, which the journal alone decides; a row is shown at once and then
// asked about.
import "../core/copied.js";
/** @import { CloserFacts, LeftShown, Marks, SaidMark, SetScreen } from "../core/facts" */
import { ask } from "../core/ask.js";
import { all, focused, given, make, one } from "../core/dom.js";
import { follow, lostSince, on, sawRow } from "../core/live.js";
import { press as writeDown, takeBack } from "../core/press.js";
import { say } from "../core/say.js";
import { Closer } from "../closer/closer.js";
import { factsOf } from "../closer/facts.js";
import { keptRoom } from "../closer/kept.js";
import { mask } from "../closer/plane.js";
import { openClearing } from "./clearing.js";
import { listen } from "./keys.js";
import { layMarks, luminance } from "./marks.js";
import { showSafe } from "./safe.js";
import { shape } from "./shapes.js";
import { Sheet } from "./sheet.js";
import { fit, fitsBelow } from "./sizes.js";
import { sound, unlock, unlocked, muted } from "./sounds.js";
import { Spot } from "./spot.js";
import { begun, state, stillToKeep } from "./state.js";
import { Todo } from "./todo.js";
import { ABOUT, LIGHT, PRESS, TODO, age, spoken, withUnbrokenUnits } from "./words.js";

// made here: a picture without an address is no HTML, and lazily loaded it does not hold the page up
const picture = make("img", { id: "picture", alt: "", loading: "lazy", decoding: "async" });
one("#drawn").prepend(picture);
const spot = new Spot(one("#drawn"));
const main = one("#main"), noted = one("#noted"), look = one("#look"), marksSvg = one("#marks");
const PRESSED_MS = 350, FRESH_MS = 15000, SLEPT_MS = 6000,
  PICTURE_SHARE = { dark: 0.009, lit: 0.04 }, BRIGHTEST = { dark: 0.5, lit: 0.8 }, PLANNED_SAID = "plateside.set.planned", BRIGHT_MS = 20000, READ_MS = 60000;
/** @type {SetScreen} */
let now = given("given");
/** @type {{lost: Date | null, trouble: any, provisional: any}} */
const pageState = { lost: null, trouble: now.trouble, provisional: null };
let skew = Date.parse(now.at) - Date.now();
/** @type {LeftShown | null} */
let light = null;
/**
 * What is drawn on the frame. @type {{frame: string, marks: SaidMark[], changed: SaidMark[], reply: Marks |
 * null}}
 */
let marks = { frame: "", marks: [], changed: [], reply: null };
let busy = "", asking = false, askAgain = false, readFrom = 0, goingSaid = 0,
  clearing = 0, pictureTimer = 0, retry = 0, refused = false, heard = now.frame?.word ? now.frame.id : "";
const serverNow = () => Date.now() + skew;

// a place of its own within the page: what is said covers neither the shape nor the word
main.append(one("#say"));

const sheet =
  new Sheet({ now: () => now, marks: () => marks,
  light: () => light, slot: (shot) => todo.slot(shot), lacks: () => lacksNow(),
  standing: (shot) => todo.standing(shot, serverNow()), readFrom: () => readFrom,
  refresh, redraw: () => draw(true), bright });

const todo = new Todo(() => draw(true));

/** What a delivery of the frame will lack, and what can be laid over it. @type {CloserFacts | null} */
let known = null;
const facts = () => factsOf(now);
const lacksNow = () => (known && known.frame === now.frame?.id && now.frame.word ? known.lacks : []);
const closer = new Closer({ now: () => now, told: () => state(now, pageState), marks: () => marks, facts,
  room: () => lay(), closed: () => { focused()?.blur(); draw(true); } });

/** The shot that the screen speaks of. */
/** @type {(reply: SetScreen) => string} */
const shotOf = (reply) => reply.current || reply.frame?.shot || "";

/* ---- drawing ------------------------------------------------------------------------------------------ */

let drawnKey = "";
function draw(again = false) {
  const reply = state(now, pageState), begins = !begun(now);
  shape(one("#shape"), reply.name);
  setText("#word", reply.word);
  setText("#act", withUnbrokenUnits(reply.act));
  setText("#noted", reply.noted || "");
  const lacks = reply.alone || begins ? [] : lacksNow();
  closer.filled();
  one("#word").classList.toggle("first", Boolean(reply.first));
  main.classList.toggle("alone", Boolean(reply.alone));
  main.dataset.state = reply.name;
  main.dataset.row = now.row;
  drawAbout();
  drawPicture();
  for (const button of all("[data-press]")) {
    const can = !pageState.lost && { keep: now.frame && !begins, again: now.frame && !begins,
      undo: now.undo, next: now.next_shot || !now.left }[button.dataset.press];
    button.setAttribute("aria-disabled", String(!can));
    if (button.dataset.press === "next") setText('[data-press="next"]',
      ABOUT.presses[now.left || now.next_shot ? "next" : "clear"]);
    // what you said of this frame stays to be seen on the press itself
    const pressed = { keep: "kept", again: "again" }[button.dataset.press];
    if (pressed) button.setAttribute("aria-pressed", String(!pageState.lost && !begins && now.frame?.pressed === pressed));
  }
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
  for (const words of [lacks[0], known?.lead, ""]) {
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
  setText("#light", lightWords());
  one("#silent").classList.toggle("hidden", !locked() && !muted());
  one("#silent").setAttribute("aria-label", muted() ? ABOUT.soundOff : ABOUT.noSound);
}

/** While a shot is being taken, that the next one is late by now. */
function nextLate(frame) {
  const next = frame && now.next_shot && todo.standing(now.next_shot, serverNow());
  return next && next.code === "late" ? TODO.nextLate(spoken(now.next_shot), next) : "";
}

/** A browser plays nothing before the first press. */
const locked = () => !unlocked() && !muted();

/** Once on each device: the plan is for another day, the light that is said is today's. */
function sayPlanned() {
  if (!light?.planned_for) return;
  try {
    if (localStorage.getItem(PLANNED_SAID) === light.planned_for) return;
    localStorage.setItem(PLANNED_SAID, light.planned_for);
  } catch { return; /* private window: it stands behind More */ }
  say(light.planned_notice, null, 6000);
}

function lightWords() {
  if (!light) return "";
  const until = light.until || light.predicted_until, day = light.planned_for ? LIGHT.today : "";
  if (!until) {
    if (light.code === "steady") return LIGHT.steady;
    if (light.predicted_from) return day + LIGHT.from(light.predicted_from);
    return light.code === "none" ? LIGHT.none : "";
  }
  const minutes = Math.round((Date.parse(until) - serverNow()) / 60000);
  if (minutes <= 0) return LIGHT.gone;
  return day + (minutes > 90 ? LIGHT.until(until) : LIGHT.minutes(minutes));
}

/* ---- the frame ---------------------------------------------------------------------------------------- */

function drawPicture() {
  const frame = begun(now) ? now.frame : null;
  look.hidden = !frame;
  todo.show(!frame && now.current ? now.current : "", light?.white_k);
  one("#ways").hidden = Boolean(now.frame || now.current);
  spot.show(frame);
  if (!frame || picture.dataset.frame === frame.id) return;
  picture.dataset.frame = frame.id;
  // the frame before must not stand beside this one's word
  picture.style.visibility = "hidden";
  clearTimeout(pictureTimer);
  marks = { frame: frame.id, marks: [], changed: [], reply: null };
  const show = () => {
    if (picture.dataset.frame === frame.id) picture.src = `/frames/${frame.id}/view.jpg`;
  };
  // while a frame is being judged the machine has better things to do for a moment
  if (frame.word) { show(); askMarks(); } else pictureTimer = setTimeout(show, 400);
}

picture.addEventListener("load", () => {
  if (picture.src.includes(picture.dataset.frame)) picture.style.visibility = "";
  picture.dataset.light = luminance(picture);
  draw(true);
});

function lay() {
  closer.filled();
  if (!picture.naturalWidth || look.hidden) return;
  const share = picture.clientWidth * picture.clientHeight / (innerWidth * innerHeight) || 0.25;
  const bright = Math.max(Number(picture.dataset.light) || 0.3, 0.01);
  // the page's mean stays under a twentieth whatever the frame: dimmed by how bright and how large it is
  const room = keptRoom(), dim =
    Math.min(BRIGHTEST[room], Math.max(0.1, (PICTURE_SHARE[room] / (share * bright)) ** (1 / 2.2)));
  document.body.style.setProperty("--dim", dim.toFixed(3));
  const built = now.shots.some((s) => s.name === now.current && s.layers.length);
  // a scene built in layers always shows what the last step did
  const changed = built ? marks.changed.map((m) => ({ ...m, asked: true })) : marks.changed;
  const drawn = now.frame?.pressed === "kept" ? [] : [...marks.marks, ...changed];
  layMarks(marksSvg, picture, drawn.filter((mark) => mark.kind !== "lost"), true);
  layLost(drawn.some((mark) => mark.kind === "lost" && mark.asked) ? marks.frame : "");
}
new ResizeObserver(lay).observe(look);

/** Where an act is about lost highlights, what is clipped is hatched itself, and not a box about it. */
let lost = null;
function layLost(frame) {
  if (lost?.dataset.frame !== frame) {
    lost?.remove();
    lost = null;
    if (!frame) return;
    lost = mask("any", `/set/closer/${frame}/any.png`);
    lost.dataset.frame = frame;
    lost.style.cssText = lost.dataset.mask;
    one("#drawn").append(lost);
  }
  if (!lost) return;
  const { offsetLeft: x, offsetTop: y, clientWidth: w, clientHeight: h } = picture;
  Object.assign(lost.style, { left: `${x}px`, top: `${y}px`, width: `${w}px`, height: `${h}px` });
}

async function askMarks() {
  const id = now.frame?.id;
  if (!id || !now.frame?.word) return;
  try {
    const reply = await ask(`/set/marks/${id}`);
    if (now.frame?.id !== id) return;
    marks = { frame: id, marks: reply.marks, changed: [], reply };
    lay();
    sheet.filled();
    const changed = await ask(`/set/changed/${id}`);
    if (now.frame?.id !== id) return;
    marks.changed = changed.marks;
    lay();
    sheet.filled();
  } catch { /* the word stands without its drawing */ }
  if (now.frame?.id !== id) return;
  try {
    known = await facts();
    draw();
    sheet.filled();
  } catch { /* nothing is known that a delivery would lack */ }
}

/** Full brightness, until a press, a new frame, or a while: a bright screen is a lamp beside the dish. */
const brightBox = one("#bright");
let brightTimer = 0;
function bright(figures, ms = BRIGHT_MS) {
  one("#pictures").replaceChildren(...figures);
  if (!brightBox.open) brightBox.showModal();
  clearTimeout(brightTimer);
  brightTimer = setTimeout(() => brightBox.close(), ms);
}
one("#pictures").addEventListener("click", () => brightBox.close());
look.addEventListener("click", (event) => {
  if (event.detail) look.blur();
  if (now.frame) closer.open();
});
one("#todo").addEventListener("click", () => { const figures = todo.figures(now.current, serverNow(), light?.white_k); if (figures.length) bright(figures, READ_MS); });
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
      take(await ask("/set/now"));
      if (refused) { refused = false; trouble(""); }
    } while (askAgain);
  } catch (error) {
    // it answers, and says that it cannot tell: an old word must not stand for a new one
    if (error.status) { refused = true; trouble(error.message); }
    clearTimeout(retry);
    retry = setTimeout(refresh, 1000);
  } finally { asking = false; }
}

/** @param {SetScreen} reply */
function take(reply) {
  if (reply.row < now.row && reply.shots.length) return;
  const before = now;
  now = reply;
  skew = Date.parse(reply.at) - Date.now();
  sawRow(reply.row);
  if (reply.trouble) trouble(reply.trouble);
  // what was said of the old shot's light is not true of this one
  if (shotOf(before) !== shotOf(now)) { light = null; askLight(); }
  draw();
  showSafe(now.safe);
  // asked once, when the light has moved; it stays beside the frame until one has come
  if (now.grey[1] && !before.grey[0] && shotOf(before) === shotOf(now)) say(now.grey[1], null, 9000);
  // a word that the answer brings before its row comes is heard with it; an old one is left to its row
  if (now.frame && isFresh(now.frame.landed_at)) hearWord(true);
  if (before.frame?.id === now.frame?.id && before.frame?.word !== now.frame?.word) askMarks();
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
      confidence: 1, pressed: "", test_frame: false, layer: false, burst: "", burst_reason: "",
      look_at: null } };
    if (brightBox.open) brightBox.close();
    draw();
  },
  verdict: ({ data, n }, fresh) => {
    if (!now.frame || now.frame.id !== data.frame) return;
    now = { ...now, row: n, frame: { ...now.frame, word: data.word, act: data.act,
      short_act: now.frame.act === data.act ? now.frame.short_act : data.act, confidence: data.confidence } };
    draw();
    hearWord(fresh);
    picture.src = `/frames/${data.frame}/view.jpg`;
    askMarks();
  },
  kept: decided, again: decided,
  // what the frame is held against has changed
  "grey card": askMarks, undo: askMarks,
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
on("light", askLight);
on("safe", refresh);
on("waiting", (reply) => say(reply.words, null, 9000));
on("copy", (reply) => say(reply.words));
on("settings", () => { todo.forget(); refresh(); });
on("watcher", ({ words }) => trouble(words));
on("lost", (since) => { pageState.lost = since; draw(); });
on("connected", () => { pageState.lost = null; draw(); refresh(); });

/**
 * Why frames are not judged; taken back only when it stays away: a watcher that fails at once is started
 * again and again.
 */
function trouble(words) {
  clearTimeout(clearing);
  if (words) {
    pageState.trouble = words;
    draw();
  } else clearing = setTimeout(() => { pageState.trouble = ""; draw(); }, 5000);
}

async function askLight() {
  const of = shotOf(now);
  if (!of) return;
  try {
    const reply = await ask(`/set/light/${encodeURIComponent(of)}`);
    if (reply.shot !== shotOf(now)) return;
    light = reply;
    sayPlanned();
    draw();
    sheet.filled();
  } catch { light = null; }
}

/* ---- presses ------------------------------------------------------------------------------------------ */

const PRESSES = {
  keep: () => [begun(now) && now.frame && ["kept", { frame: now.frame.id }], PRESS.nothingToKeep],
  again: () => [begun(now) && now.frame && ["again", { frame: now.frame.id }], PRESS.noFrame],
  undo: () => [now.undo && ["undo"], PRESS.nothingToTakeBack],
  next: () => [now.next_shot && ["shot current", { shot: now.next_shot }], PRESS.onlyThese(stillToKeep(now))],
};
let shownAtDown = null, after = null;
const pressed = (name) => one(`[data-press="${name}"]`);

/** The same again while a press is under way is a double touch; another one is meant, and waits its turn. */
async function press(name) {
  if (busy) { if (name !== busy) after = { name, shown: shownAtDown }; return; }
  say("");
  if (pageState.lost) { say(PRESS.lost); return; }
  // the last Keep is made: what is there is looked through before the set is cleared, and leads to Choose
  if (name === "next" && !now.left && now.shots.length) { openClearing(); return; }
  const [request, cannot] = PRESSES[name]();
  if (!request) { say(cannot); return; }
  if ((name === "keep" || name === "again") && shownAtDown && shownAtDown !== now.frame?.id) {
    say(PRESS.newFrame);
    return;
  }
  const already = { keep: "kept", again: "again" }[name];
  // a second row would say nothing, and Undo would then seem to do nothing
  if (already && now.frame?.pressed === already) {
    say(name === "keep" ? PRESS.keptAlready : PRESS.againAlready);
    return;
  }
  busy = name;
  pressed(name).classList.add("taken");
  const start = Date.now();
  try {
    const what = spoken(now.undo);
    await (name === "undo" ? takeBack(now.row) : writeDown(...request, now.row));
    sound("taken");
    if (name === "undo") say(PRESS.takenBack(what), null, 3000);
  } catch (error) {
    say(error.message, null, 9000);
  }
  await refresh();
  const waited = () => {
    busy = "";
    pressed(name).classList.remove("taken");
    if (!after) return;
    const next = after;
    after = null;
    shownAtDown = next.shown;
    press(next.name);
  };
  setTimeout(waited, Math.max(0, PRESSED_MS - (Date.now() - start)));
}

for (const button of all("[data-press]")) {
  button.addEventListener("click", (event) => {
    // a finger leaves no focus behind: the pedal's key would press the same again
    if (event.detail) button.blur();
    press(button.dataset.press);
  });
}
addEventListener("pointerdown", () => { shownAtDown = now.frame?.id || null; }, true);
addEventListener("keydown", (event) => { if (!event.repeat) shownAtDown = now.frame?.id || null; }, true);
for (const kind of ["pointerup", "keyup"]) addEventListener(kind, () => {
  if (locked()) unlock().then(() => draw(), () => {});
}, true);
addEventListener("contextmenu", (event) => { if (!sheet.isOpen) event.preventDefault(); });
listen((name) => {
  // a pedal brings back the set from what lies over it; the next press counts
  if (brightBox.open) brightBox.close();
  else if (closer.isOpen) closer.close();
  else press(name);
}, () => sheet.isOpen);

/* ---- time --------------------------------------------------------------------------------------------- */

let ticked = Date.now(), waking = false;
setInterval(() => {
  if (Date.now() - ticked > SLEPT_MS && !pageState.lost) { pageState.lost = new Date(ticked); wake(); }
  ticked = Date.now();
  draw();
  going();
}, 1000);

/** After a sleep what stands here is old: it counts again only when the server has said so. */
async function wake() {
  if (waking) return;
  waking = true;
  draw();
  while (pageState.lost && !lostSince()) {
    try {
      take(await ask("/set/now", AbortSignal.timeout(3000)));
      if (!lostSince()) pageState.lost = null;
    } catch { await new Promise((resolve) => setTimeout(resolve, 1000)); }
  }
  waking = false;
  draw();
}

/** 'Light is going': half an hour before, and ten minutes before. */
function going() {
  const until = light && (light.until || light.predicted_until);
  if (!until) return;
  const minutes = (Date.parse(until) - serverNow()) / 60000;
  const step = minutes <= 10 ? 2 : minutes <= 30 ? 1 : 0;
  if (step > goingSaid && minutes > 0) sound("light");
  goingSaid = step;
}
setInterval(askLight, 600000);

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
if (!now.frame || now.frame.word) askMarks();
askLight();
stayAwake();
if (now.unwatched.length) say(now.unwatched[0], null, 8000);
document.fonts?.ready.then(() => draw(true));

// Choose: a select and an alternate for each shot, by eye.
/** @import { ProposalShown, SheetsShown } from "../core/facts" */
import "../core/copied.js";
import { around, given, keepingFocus, make, one, settled } from "../core/dom.js";
import { follow } from "../core/live.js";
import { plain, undoes } from "../core/keys.js";
import { say } from "../core/say.js";
import { compare } from "../core/compare.js";
import { longWork } from "../core/job.js";
import { mark } from "./marks.js";
import { Sheets } from "./sheets.js";
import { Frames } from "./state.js";
import { PANEL, SAID, SUGGESTED, pressedWords } from "./words.js";

const MOST_COMPARED = 4;
const LATEST_MS = 2000;
const panel = one("#chosen"), place = one("#choosing");
const show = one("#show"), size = one("#size");
let frames = null, sheets = null, comparing = null;
/** @type {ProposalShown | null} */
let proposal = null;
/** By the shot, what its choice was made on. */
const grounds = new Map();

// ---- what is shown
// -----------------------------------------------------------------------------------------

const FITS = {
  "": () => true,
  good: (f) => f.word === "good", adjust: (f) => f.word === "adjust", again: (f) => f.word === "again",
  kept: (f) => f.pressed === "kept", open: (f) => !f.pressed && !frames.part(f),
  chosen: (f) => Boolean(frames.part(f)),
};
show.addEventListener("change", () => { sheets.fits = FITS[show.value]; sheets.draw(); propose(); here(); });
size.addEventListener("change", () => {
  place.dataset.pictures = size.value;
  sheets.draw();
  propose();
  here();
});
addEventListener("resize", settled(200, () => { if (sheets?.resized()) propose(); }));

function count() {
  const chosen = frames.shots.filter((s) => s.select).length;
  one("#count").textContent = SAID.count(frames.frames.size, chosen, frames.shots.length);
  one("#none").hidden = frames.frames.size > 0;
}

function changed(which) {
  if (which === "all") sheets.draw(); else sheets.refresh(which);
  propose();
  count();
  here();
  comparing?.refresh(comparing.ids.map((id) => frames.frames.get(id)).filter(Boolean).map(item));
}

// ---- the frame one is at
// -----------------------------------------------------------------------------------

function picked(frame, how) {
  if (!frame) return;
  here();
  if (how === "open") look();
}

const current = () => frames?.frames.get(sheets.at);

let drawn = "", more = false;

/** A frame's verdict, its part in the series, what you said of it. */
function marks(frame, notJudged) {
  const part = frames.part(frame), { pressed } = frame;
  return [
    mark(frame.word || "none", frame.word || (frame.chart ? SAID.chart : notJudged)),
    part ? mark(part) : "",
    pressed ? mark(pressed, pressedWords(pressed)) : "",
  ];
}

function here() {
  const frame = current();
  if (!frame) { panel.replaceChildren(make("p", { class: "soft" }, PANEL.empty)); drawn = ""; return; }
  const part = frames.part(frame), shot = frames.shot(frame.shot);
  const key = JSON.stringify([frame, part, sheets.ticked.has(frame.id), sheets.ticked.size, shot]);
  if (key === drawn) return;
  drawn = key;
  const act = (id, words, letter, pressed, go, disabled = false) =>
    make("button", { type: "button", id, "aria-pressed": pressed === null ? null : String(pressed),
    onclick: go, disabled, "aria-keyshortcuts": letter },
    words, make("kbd", {}, letter.replace("Control", "Ctrl").split(" ")[0]));
  let picture = panel.querySelector("img");
  const address = `/frames/${frame.id}/view.jpg`;
  if (!picture || picture.getAttribute("src") !== address) picture =
    make("img", { loading: "lazy", src: address, alt: PANEL.large(frame.name), width: 3, height: 2 });
  const moved = make("select", { id: "belongs" },
    frames.shots.map((s) => make("option", { value: s.name, selected: s.name === frame.shot }, s.name)),
    frame.shot ? "" : make("option", { value: "", selected: true }, SAID.ofNoShot[0]));
  // what is marked moves together
  const idsToMove = sheets.ticked.size > 1 && sheets.ticked.has(frame.id) ? [...sheets.ticked] : [frame.id];
  moved.addEventListener("change", async () => {
    for (const id of moved.value ? idsToMove : []) await frames.press("frame belongs",
      { frame: id, shot: moved.value });
  });
  keepingFocus(panel, () => panel.replaceChildren(
    make("button", { type: "button", id: "look",
      class: "picture-button", onclick: look, "aria-label": PANEL.look(frame.name) }, picture),
    make("h2", {}, frame.name),
    make("p", { class: "verdict" }, marks(frame, PANEL.notJudged),
      PANEL.best[frame.burst] ? make("span", { class: "soft" }, PANEL.best[frame.burst]) : ""),
    frame.act && frame.word !== "good" ? make("p", { class: "act" }, frame.act) : "",
    make("div", { class: "acts" },
      act("select", PANEL.acts.select, "S", part === "select", () => decide("select"), !shot),
      act("alternate", PANEL.acts.alternate, "T", part === "alternate", () => decide("alternate"), !shot),
      act("keep", PANEL.acts.kept, "K", frame.pressed === "kept", () => decide("kept"), frame.chart),
      act("again", PANEL.acts.again, "A", frame.pressed === "again", () => decide("again"), frame.chart),
    ),
    // a small screen keeps its pictures in sight: the rest of the acts comes at a press
    make("button", { type: "button", id: "more",
      class: "quiet", "aria-expanded": String(more), "aria-controls": "more-acts", onclick: () => {
      more = !more;
      drawn = "";
      here();
    } }, PANEL.more[Number(more)]),
    make("div", { id: "more-acts", class: more ? "more is-open" : "more" }, make("div", { class: "acts" },
      act("tick", PANEL.acts.mark, "M", sheets.ticked.has(frame.id), tick),
      make("button", { type: "button", id: "compare", class: sheets.ticked.size > 1 ? "main" : null,
        disabled: sheets.ticked.size < 2, onclick: look }, PANEL.compare(sheets.ticked.size)),
      make("button", { type: "button", id: "finish-too", disabled: part === "select",
        onclick: () => frames.press("extra", { frame: frame.id, use: "finished" }) }, PANEL.acts.finish),
      act("undo", PANEL.acts.undo, "Control+Z Backspace", null, () => frames.undo()),
    ),
    make("div", { class: "field" },
      make("div", { class: "field-head" },
        make("label", { for: "belongs" }, PANEL.belongs(idsToMove.length, frame.guessed)),
        make("span", { class: "quiets" },
        frame.burst === "one" ? make("button",
          { type: "button", id: "best", class: "quiet",
          onclick: () => frames.press("best", { frame: frame.id }) }, PANEL.makeBest) : "",
        frame.chart ? "" : make("button", { type: "button", id: "judge-again", class: "quiet", disabled: !frame.word,
          onclick: () => frames.press("judge again", { frame: frame.id }) },
          PANEL.judge[Number(Boolean(frame.word))]))),
      moved)),
  ));
}

async function decide(kind, frame = current()) {
  if (!frame) return;
  if (frame.chart) { say(PANEL.chart); return; }
  if ((kind === "select" || kind === "alternate")) {
    if (!frame.shot) { say(PANEL.shotFirst); return; }
    await frames.press(kind, { shot: frame.shot, frame: frame.id });
  } else await frames.press(kind, { frame: frame.id });
}

function tick(frame = current()) {
  if (frame instanceof Event) frame = current();
  if (!frame) return;
  if (sheets.ticked.has(frame.id)) sheets.ticked.delete(frame.id);
  else if (sheets.ticked.size >= MOST_COMPARED) {
    say(PANEL.fourAtOnce);
    return;
  } else sheets.ticked.add(frame.id);
  sheets.refresh([frame.id]);
  here();
}

// ---- looked at closely, in step
// ----------------------------------------------------------------------------

function item(frame) {
  const part = frames.part(frame), { pressed } = frame;
  const act = (kind, on) =>
    ({ words: PANEL.acts[kind], pressed: on, do: () => decide(kind, frames.frames.get(frame.id)) });
  return {
    id: frame.id, name: frame.name, view: `/frames/${frame.id}/view.jpg`,
      full: `/frames/${frame.id}/full.jpg`,
    words: make("span", {}, marks(frame, SAID.notJudged)),
    acts: [
      act("select", part === "select"), act("alternate", part === "alternate"),
      act("kept", pressed === "kept"), act("again", pressed === "again"),
    ],
  };
}

function look() {
  const wanted = sheets.ticked.size > 1 ? [...sheets.ticked].map((id) => frames.frames.get(id))
    .filter(Boolean) : [current()].filter(Boolean);
  if (!wanted.length || comparing) return;
  comparing = compare(wanted.map(item), {
    title: wanted.length > 1 ? PANEL.compared(wanted.length) : wanted[0].name,
    keyed: (event, id) => pressed(event, frames.frames.get(id)),
    closed: () => { comparing = null; sheets.go(sheets.at); },
  });
}

// ---- keys
// --------------------------------------------------------------------------------------------------

function pressed(event, frame) {
  if (event.repeat) return;
  const act = undoes(event) ? () => frames.undo() : plain(event) && {
    m: () => !comparing && tick(frame), s: () => decide("select", frame), t: () => decide("alternate", frame),
      k: () => decide("kept", frame), a: () => decide("again", frame), l: () => !comparing && look(),
  }[event.key.toLowerCase()];
  if (act) { event.preventDefault(); act(); }
}
document.addEventListener("keydown", (event) => {
  if (comparing || around(event, "dialog, input, select") || around(event, "textarea")) return;
  pressed(event, current());
});

// ---- what Plateside suggests ----------------------------------------------------------------------------

/**
 * What the suggestion among the frames of a shot rests on: when that is other than it was, the choice is old.
 */
const groundsOf = (shot) => JSON.stringify(frames.of(shot).map((f) => [f.id, f.word, f.pressed]));

const propose = () => keepingFocus(place, drawProposal);

function drawProposal() {
  for (const choice of proposal?.shots ?? []) {
    const place = document.querySelector(`.proposal[data-shot="${CSS.escape(choice.shot)}"]`),
      now = groundsOf(choice.shot);
    if (!place) continue;
    if (now === "[]") { place.replaceChildren(); continue; }
    if (now !== grounds.get(choice.shot)) {
      place.replaceChildren(make("p", { class: "small soft" }, SUGGESTED.old));
      continue;
    }
    const rows = ["select", "alternate"].filter((kind) => choice[kind]?.by === "tool").map((kind) => {
      const pick = choice[kind], label = SUGGESTED.takeIt(pick.name, kind, choice.shot);
      const take = () => frames.press(kind, { shot: choice.shot, frame: pick.frame });
      return make("li", {},
        make("span", {},
          make("button", { type: "button", class: "quiet", onclick: () => sheets.go(pick.frame) }, pick.name),
          SUGGESTED.pick(kind, pick.why)),
        make("button", { type: "button", onclick: take, "aria-label": label }, SUGGESTED.take));
    });
    place.replaceChildren(
      ...(rows.length ? [make("p", { class: "small soft" }, SUGGESTED.head),
      make("ul", { class: "plain" }, rows)] : []),
      choice.remark ? make("p", { class: "small" }, choice.remark) : "");
  }
}

// ---- begun
// -------------------------------------------------------------------------------------------------

// the server has drawn the first cards: they are on the screen before this page's own work begins, unless
// somebody
// is quicker than that
const EARLY = ["keydown", "pointerdown", "focusin", "change"];
let begun = false;

function begin() {
  if (begun) return;
  begun = true;
  for (const kind of EARLY) removeEventListener(kind, begin, true);
  /** @type {SheetsShown} */
  const start = given("given");
  frames = new Frames(start, changed);
  sheets = new Sheets(one("#sheets"), one("#jump"), frames, picked);
  follow(start.row);
  sheets.adopt();
  // a browser that comes back to the page may bring its own choices along
  if (show.value) { sheets.fits = FITS[show.value]; sheets.draw(); }
  here();
  longWork(one("#propose"), {
    words: SUGGESTED.ask, path: "/choose/proposal", kind: "results.choose",
    counted: SUGGESTED.going,
    done: (got) => {
      proposal = got;
      for (const choice of got.shots) grounds.set(choice.shot, groundsOf(choice.shot));
      propose();
      return SUGGESTED.done;
    },
  });
}

for (const kind of EARLY) addEventListener(kind, begin, true);
const idle = window.requestIdleCallback || ((action) => setTimeout(action, 50));
const painted = () => requestAnimationFrame(() => idle(begin, { timeout: 500 }));
if (document.readyState === "complete") painted(); else addEventListener("load", painted);
setTimeout(begin, LATEST_MS);

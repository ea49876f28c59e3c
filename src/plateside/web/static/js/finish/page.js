// Finish: the pictures made to look like one series, and shown to be.
/** @import { FinishShown, PictureFinished, ShotFinished } from "../core/facts" */
import { given, keepingFocus, make, one } from "../core/dom.js";
import { follow, on } from "../core/live.js";
import { compare } from "../core/compare.js";
import { drawChart } from "./chart.js";
import { divided } from "./divided.js";
import { ofExtra, others } from "./extras.js";
import { hand, handAddress, handOf } from "./hand.js";
import { drawLens, lensSwitch } from "./lens.js";
import { square } from "./square.js";
import { longWork } from "../core/job.js";
import { press, takeBack } from "../core/press.js";
import { reading } from "../core/reading.js";
import { say, trying } from "../core/say.js";
import { drawCameBack, takeFiles } from "./retouched.js";
import { DIVIDED, EXTRA, LINKS, RETOUCHED, SAID, going } from "./words.js";

/** @type {FinishShown} */
let reply = given("given");
let rowShows = "after";
/** @type {(picture: PictureFinished, which: string) => string} */
const address = (picture, which) =>
  `/finish/pictures/${encodeURIComponent(picture.shot)}/${which}.jpg?v=${picture.version}`;
// of a raw the same development without the matching: the camera's own JPEG would show its maker's taste as
// well
/** @type {(picture: PictureFinished, which: string) => string} */
const before = (picture, which) => picture.from_raw
  ? `/finish/plain/${encodeURIComponent(picture.shot)}/${which}.jpg?v=${picture.made_from_key}`
  : `/frames/${picture.frame_id}/${which}.jpg`;
/** @type {() => {name: string, picture: PictureFinished}[]} */
const done = () => [...reply.shots, ...reply.extras]
  .flatMap(({ name, picture }) => (picture ? [{ name, picture }] : []));

// ---- the work
// ----------------------------------------------------------------------------------------------

const matchTo = one("#match-to"), kind = one("#kind");
/**
 * A shot without a frame has no look to match; the one matched to before, else the main one, else the first.
 */
function options() {
  const can = (name) => reply.shots.some((s) => s.name === name && s.frames),
    first = reply.shots.filter((s) => s.frames);
  const picked = matchTo.value;
  matchTo.replaceChildren(
    ...reply.shots.map((s) => make("option", { value: s.name, disabled: !s.frames },
    s.frames ? s.name : SAID.noFrame(s.name))));
  matchTo.value = [picked, reply.match_to].find(can)
    || (first.find((s) => s.role === "main") || first[0])?.name || "";
}
kind.value = reply.kind;

const making = longWork(one("#run"), {
  words: SAID.make, path: "/finish/run", kind: "results.finish", main: true,
  data: () => ({ kind: kind.value, match_to: matchTo.value }),
  again: (args) => ({ kind: args.kind, match_to: args.match_to }),
  counted: going, inTurn: SAID.inTurn,
  done: (got) => { afresh(); return got.said.join(" "); },
});

// ---- what stands there
// -------------------------------------------------------------------------------------

/** Who moves a control by keys goes on moving it. */
const draw = () => keepingFocus(one("main"), drawAll);

function drawAll() {
  options();
  const finished = done();
  one("#stands").textContent = reply.headline;
  doubts();
  making.shut(reply.greyed_out);
  one("#set").hidden = !finished.length;
  drawRow();
  drawCameBack(reply, afresh);
  drawLens(reply);
  if (document.querySelector("#chart")) drawChart(reply, afresh);
  one("#shots").replaceChildren(...reply.shots.flatMap((shot) =>
    [shot, ...reply.extras.filter((extra) => extra.of === shot.name)]).map(section),
  ...reply.extras.filter((extra) => !reply.shots.some((shot) => shot.name === extra.of)).map(section));
}

/** A frame that was to be taken again, or a look that is off: said before a whole series is made like it. */
function doubts() {
  const chief = reply.shots.find((s) => s.name === matchTo.value);
  const off = chief && chief.name === reply.match_to ? reply.look_off : "";
  one("#doubt").hidden = !chief?.again && !off;
  one("#doubt-words").textContent =
    [off, ...(chief?.again ? [chief.again, reply.like_it] : [])].filter(Boolean).join(" ");
}
matchTo.addEventListener("change", doubts);

function drawRow() {
  for (const which of ["after", "before"]) one(`#row-${which}`)
    .setAttribute("aria-pressed", String(rowShows === which));
  one("#row").replaceChildren(...done().map(({ name, picture }) => {
    const img = make("img", { alt: SAID.shown(name, rowShows === "after" ? SAID.finished : picture.before),
      width: picture.width_px, height: picture.height_px });
    img.loading = "lazy";
    img.src = rowShows === "after" ? address(picture, "row") : before(picture, "view");
    const place = make("li", {},
      make("a", { href: `#shot-${name}` }, img,
      make("span", { class: "small" }, name === reply.match_to ? SAID.matchedTo(name)
        : reply.extras.some((extra) => extra.name === name) ? SAID.extra(name) : name)));
    // as wide as its shape asks, so that all stand at one height
    place.style.flexGrow = picture.width_px / picture.height_px;
    return place;
  }));
}
for (const which of ["after", "before"]) one(`#row-${which}`).addEventListener("click", () => {
  rowShows = which;
  drawRow();
});

/** @param {ShotFinished} shot */
function section(shot) {
  const { picture } = shot;
  const notes = shot.notes.map((note) =>
    make("p", { class: ["not finished", "no frame", "retouched"].includes(note.code) ? "soft" : "mind",
    "data-code": note.code }, note.words, ...(LINKS[note.code] || [])
    .flatMap(([href, words]) => [" ", make("a", { href }, words)]),
    note.code === "unmatched" && picture ? [" ", make("button",
      { type: "button", onclick: () => accept({ name: shot.name, picture }) },
      SAID.accept(shot.name))] : "", retouchedActs(shot, note.code)));
  if (!picture) return make("section", { class: "finished", id: `shot-${shot.name}` },
    make("h2", {}, shot.name, shot.extra ? kindOf(shot) : ""), notes, shot.extra ? ofExtra(shot, use) : others(shot, use));
  const shownAs = shot.hand_changed && picture.can_be_set;
  const stage = divided({ name: shot.name, before: before(picture, "view"), beforeWords: picture.before,
    after: shownAs ? handAddress(shot.name, handOf(reply, shot), shot.preview_version) : address(picture, "view"),
    wide: picture.width_px, high: picture.height_px });
  return make("section",
    { class: "finished", id: `shot-${shot.name}`, "aria-labelledby": `name-${shot.name}` },
    make("div", {}, stage),
    make("div", { class: "facts" },
      make("h2", { id: `name-${shot.name}` }, shot.name, kindOf(shot)),
      notes,
      make("dl", { class: "figures" },
        picture.figures.map((row) => make("div", {}, make("dt", {}, row.name), make("dd", {}, row.value)))),
      make("ul", { class: "said" }, picture.said.map((words) => make("li", {}, words))),
      picture.can_be_set ? hand({ reply, shot, after: one(".after", stage), changed: afresh }) : "",
      picture.can_be_set ? square({ reply, shot, frame: before(picture, "view"), changed: afresh }) : "",
      make("p", { class: "small soft number" }, `${picture.made_from} ${picture.size}`),
      make("div", { class: "row" },
        make("button", { type: "button", onclick: () => closely({ name: shot.name, picture }) }, SAID.look),
        make("a", { class: "button", href: `/finish/files/${encodeURIComponent(picture.file)}`,
          download: picture.file.split("/").pop() }, SAID.take(picture.file.split("/").pop())),
      ),
      shot.extra ? ofExtra(shot, use) : others(shot, use),
    ));
}

/** @param {ShotFinished} shot */
const kindOf = (shot) => [" ", make("span", { class: "tag" }, EXTRA.kind[shot.extra ? "extra" : "select"])];

/** What there is to press about a retouched file. @param {ShotFinished} shot @param {string} code */
function retouchedActs({ name, picture }, code) {
  if (!picture?.retouched || !code.startsWith("retouched")) return "";
  const act = (words, kind, data) =>
    make("button", { type: "button", onclick: () => decide(kind, { shot: name, ...data }) }, words);
  const acts = [act(RETOUCHED.asMade, "as made", { sha256: picture.retouched })];
  if (code === "retouched older") {
    acts.unshift(act(RETOUCHED.keep, "retouched kept", { made_from: picture.made_from_key }));
  }
  return make("span", { class: "acts" }, acts);
}

const decide = (kind, data) => trying(async () => {
  const done = await press(kind, data, reply.row);
  afresh();
  say(done.said, { words: SAID.undo, do: () => trying(async () => { await takeBack(done.row); afresh(); }) });
});
const use = (frame, how) => decide("extra", { frame, use: how });

/** @param {{name: string, picture: PictureFinished}} of */
const accept = ({ name, picture }) => decide("as taken", { shot: name, frame: picture.frame_id });

/** @param {{name: string, picture: PictureFinished}} of */
function closely({ name, picture }) {
  compare([
    { id: "before", name: DIVIDED.before, words: DIVIDED.of(picture.frame, picture.before),
      view: before(picture, "view"), full: before(picture, "full") },
    { id: "after", name: DIVIDED.after, words: picture.file,
      view: address(picture, "view"), full: address(picture, "full") },
  ], { title: DIVIDED.title(name) });
}

// ---- kept right
// --------------------------------------------------------------------------------------------

const afresh = reading("/finish/standing", (standing) => {
  reply = standing;
  draw();
});
on("row", (row) => {
  if (["select", "undo", "as taken", "look", "lens", "square", "frame belongs", "verdict", "kept", "again", "extra",
    "as made", "retouched", "retouched kept", "colour chart", "frame"].includes(row.kind)) afresh();
});
on("work", (job) => {
  if (job.work === "results.finish" && ["done", "stopped"].includes(job.state)) afresh();
});
on("connected", afresh);
follow(reply.row);
takeFiles(afresh);
lensSwitch(() => reply, afresh);
draw();

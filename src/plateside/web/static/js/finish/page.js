// Finish: the set made to look like one set, and shown to be.
import { ask } from "../core/ask.js";
import { given, make, one, settled } from "../core/dom.js";
import { follow, on, sawRow } from "../core/live.js";
import { compare } from "../choose/compare.js";
import { divided } from "./divided.js";
import { longWork, size } from "./job.js";

let told = given("given"), rowShows = "after";
const address = (picture, which) => `/finish/pictures/${encodeURIComponent(picture.shot)}/${which}.jpg?v=${picture.version}`;
// of a raw the same development without the matching: the camera's own JPEG would show its maker's taste as well
const before = (picture, which) => picture.from_raw ? `/finish/plain/${encodeURIComponent(picture.shot)}/${which}.jpg?f=${picture.frame_id}` : `/frames/${picture.frame_id}/${which}.jpg`;
const beforeWords = (picture) => picture.from_raw ? "the raw, not matched" : "the camera's own picture";
const done = () => told.shots.filter((s) => s.picture);
const unmatched = (picture) => !picture.match.matched;

// ---- the work ----------------------------------------------------------------------------------------------

const reference = one("#reference"), kind = one("#kind");
/** A shot without a frame has no look to follow; the one that was followed before, else the main one, else the first. */
function options() {
  const can = (name) => told.shots.some((s) => s.name === name && s.frames), first = told.shots.filter((s) => s.frames);
  const picked = reference.value;
  reference.replaceChildren(...told.shots.map((s) => make("option", { value: s.name, disabled: !s.frames }, s.frames ? s.name : `${s.name} (no frame yet)`)));
  reference.value = [picked, told.reference].find(can) || (first.find((s) => s.role === "main") || first[0])?.name || "";
}
kind.value = told.kind;

/** The work tells three equal parts: choosing, measuring, making. */
function counted(at, total) {
  const pictures = total / 3;
  if (at >= total) return "Writing down what was done ...";
  if (at < pictures) return "Looking for each shot's best frame ...";
  return at < 2 * pictures ? `Measuring picture ${at - pictures + 1} of ${pictures}` : `Making picture ${at - 2 * pictures + 1} of ${pictures}`;
}

const making = longWork(one("#run"), {
  words: "Make the matched set", path: "/finish/run", kind: "results.finish", main: true,
  data: () => ({ kind: kind.value, reference: reference.value }),
  again: (args) => ({ kind: args.kind, reference: args.reference }),
  counted,
  done: (got) => { afresh(); return [`${got.written} made, ${got.finished - got.written} unchanged.`, ...got.missing].join(" "); },
});

// ---- what stands there -------------------------------------------------------------------------------------

const stops = (n) => Math.abs(n) < 0.005 ? "exposure unchanged" : `${Math.abs(n).toFixed(2)} stop ${n > 0 ? "brighter" : "darker"}`;
const warmer = (n) => {
  const size = Math.abs(n), much = size < 5 ? "barely" : size < 15 ? "a little" : size < 40 ? "clearly" : "much";
  return size < 0.5 ? "colour unchanged" : `${much} ${n > 0 ? "warmer" : "cooler"}`;
};
const signed = (n, digits) => { const text = Math.abs(n).toFixed(digits); return Number(text) === 0 ? text : `${n > 0 ? "+" : "−"}${text}`; };

function draw() {
  options();
  const finished = done(), apart = finished.filter((s) => unmatched(s.picture)), open = told.shots.filter((s) => !s.picture), stale = told.shots.filter((s) => s.another_hero);
  one("#stands").textContent = !finished.length
    ? "Every hero is developed with the set's one look: exposure and white balance matched, one tone curve. Nothing else is done to a picture."
    : `${finished.length} of ${told.shots.length} pictures are finished; the set follows ${told.reference}.${apart.length ? ` Not matched, as each says below: ${apart.map((s) => s.name).join(", ")}.` : ""}${stale.length ? ` ${stale.map((s) => s.name).join(", ")}: another hero since, so make the set again.` : ""}${open.length ? ` Still open: ${open.map((s) => s.name).join(", ")}.` : ""}`;
  doubts();
  making.shut(told.shots.some((s) => s.frames) ? "" : "No frame has landed yet, so there is nothing to finish.");
  one("#set").hidden = !finished.length;
  drawRow();
  one("#shots").replaceChildren(...told.shots.map(section));
}

/** A frame that was to be taken again, and still stands for its shot: told before a whole set is made like it. */
function doubtWords({ name, doubt }) {
  if (doubt.by_her) return `You wanted the frame of ${name} taken again.`;
  return `The tool would take the frame of ${name} again: ${doubt.act.replace(/[.]$/, "")}.${doubt.kept ? " You kept it." : ""}`;
}

function doubts() {
  const chief = told.shots.find((s) => s.name === reference.value), others = told.shots.filter((s) => s.doubt && s !== chief);
  const off = chief && chief.name === told.reference ? told.look_off : "";
  one("#doubt").hidden = !chief?.doubt && !off;
  one("#doubt").replaceChildren(...(off ? [make("span", { class: "look-off" }, `${off} `, make("a", { href: "/choose" }, `Choose another frame of ${chief.name}`), ", or let the set follow another shot; then make it again. ")] : []), ...(chief?.doubt ? [`${doubtWords(chief)} The whole set is made to look like it, so `, make("a", { href: "/choose" }, "choose another frame"), others.length < told.shots.length - 1 ? ", or let the set follow another shot." : "."] : []));
}
reference.addEventListener("change", doubts);

function drawRow() {
  for (const which of ["after", "before"]) one(`#row-${which}`).setAttribute("aria-pressed", String(rowShows === which));
  one("#row").replaceChildren(...done().map(({ name, picture }) => {
    const img = make("img", { alt: `${name}, ${rowShows === "after" ? "finished" : beforeWords(picture)}`, width: picture.width_px, height: picture.height_px });
    img.loading = "lazy";
    img.src = rowShows === "after" ? address(picture, "row") : before(picture, "view");
    const place = make("li", {}, make("a", { href: `#shot-${name}` }, img, make("span", { class: "small" }, name, name === told.reference ? ", the reference" : "")));
    // as wide as its shape asks, so that all stand at one height
    place.style.flexGrow = picture.width_px / picture.height_px;
    return place;
  }));
}
for (const which of ["after", "before"]) one(`#row-${which}`).addEventListener("click", () => { rowShows = which; drawRow(); });

function section(shot) {
  const { picture } = shot;
  if (!picture) {
    return make("section", { class: "finished", id: `shot-${shot.name}` }, make("h2", {}, shot.name),
      shot.doubt ? make("p", { class: "mind" }, doubtWords(shot), " ", make("a", { href: "/choose" }, "Choose another frame"), ".") : "",
      make("p", { class: "soft" }, shot.frames ? `Not finished yet. Its hero: ${shot.hero || "the one the tool chooses"}.` : ["No frame of this shot has landed, so there is nothing to finish. ", make("a", { href: "/set" }, "Photograph it"), "."]));
  }
  const m = picture.match, asTaken = m.by === "reference" || unmatched(picture);
  return make("section", { class: "finished", id: `shot-${shot.name}`, "aria-labelledby": `name-${shot.name}` },
    make("div", {}, divided({ name: shot.name, before: before(picture, "view"), beforeWords: beforeWords(picture), after: address(picture, "view"), wide: picture.width_px, high: picture.height_px })),
    make("div", { class: "facts" },
      make("h2", { id: `name-${shot.name}` }, shot.name),
      unmatched(picture) ? make("p", { class: "mind" }, "Not matched to the set; why stands below. ", make("a", { href: "/choose" }, "Choose another frame"), ", ", make("a", { href: "/set" }, "take it again"), m.by === "too far" ? "." : ", or let the set follow another shot.") : "",
      shot.another_hero ? make("p", { class: "mind" }, `${shot.hero} is the hero now; this picture is still of ${picture.frame}. Make the set again.`) : "",
      shot.doubt ? make("p", { class: "mind" }, doubtWords(shot), " ", make("a", { href: "/choose" }, "Choose another frame"), ".") : "",
      picture.by_hand ? make("p", { class: "mind" }, `${picture.file} was changed by hand; it is kept as it is. Delete it to have it made again.`) : "",
      make("dl", { class: "figures" },
        figure("Exposure", asTaken ? "as taken" : stops(m.stops), asTaken ? "" : `${signed(m.stops, 2)} stop`),
        figure("Colour", asTaken ? "as taken" : warmer(m.mired), asTaken ? "" : `${signed(m.mired, 0)} mired`),
        m.delta_e_before !== null && m.delta_e_after !== null ? figure("Difference to the reference", `${m.delta_e_before.toFixed(1)} before, ${m.delta_e_after.toFixed(1)} after`, "CIEDE2000") : "",
      ),
      make("ul", { class: "said" }, picture.said.map((words) => make("li", {}, words))),
      make("p", { class: "small soft number" }, `${picture.frame}, chosen by ${picture.chosen_by === "you" ? "you" : "the tool"}. ${picture.width_px} × ${picture.height_px} pixels, ${size(picture.bytes)}.`),
      make("div", { class: "row" },
        make("button", { type: "button", onclick: () => closely(shot) }, "Look closely"),
        make("a", { class: "button", href: `/finish/files/${encodeURIComponent(picture.file)}`, download: picture.file }, `Take ${picture.file}`),
      ),
    ));
}

const figure = (name, words, unit) => make("div", {}, make("dt", {}, name), make("dd", {}, words, unit ? make("span", { class: "small soft number" }, unit) : ""));

function closely({ name, picture }) {
  compare([
    { id: "before", name: "Before", words: `${picture.frame}, ${beforeWords(picture)}`, view: before(picture, "view"), full: before(picture, "full") },
    { id: "after", name: "Finished", words: picture.file, view: address(picture, "view"), full: address(picture, "full") },
  ], { title: `${name}, before and after` });
}

// ---- kept right --------------------------------------------------------------------------------------------

const afresh = settled(100, async () => {
  try { told = await ask("/finish/standing"); sawRow(told.row); draw(); } catch { /* the next news tries again */ }
});
on("row", (row) => { if (["select", "undo", "frame belongs", "verdict", "kept", "again"].includes(row.kind)) afresh(); });
on("work", (job) => { if (job.work === "results.finish" && ["done", "stopped"].includes(job.state)) afresh(); });
on("connected", afresh);
follow(told.row);
draw();

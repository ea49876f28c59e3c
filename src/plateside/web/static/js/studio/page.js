// The Studio page: one studio, drawn, typed and listed; every change is saved at once and can be taken back.
/** @import { Studio, StudioShown, VersionShown, WorthShown } from "../core/facts" */
import { ask } from "../core/ask.js";
import { all, given, make, one, settled } from "../core/dom.js";
import { follow, on } from "../core/live.js";
import { reading } from "../core/reading.js";
import { Saved, changes } from "../core/save.js";
import { say } from "../core/say.js";
import { Boards } from "./boards.js";
import { Fields } from "./form.js";
import { newThing } from "./new.js";
import { Gear } from "./gear.js";
import { Panel } from "./panel.js";
import { Plan } from "./plan.js";
import { Shelf } from "./shelf.js";
import { afterTaking, same, thingAt } from "./room.js";
import { SAID } from "./words.js";

/** @type {StudioShown} */
const { now, tables, shoot, worth } = given("given");
let studio = now.value, draft = structuredClone(studio);
/** @type {(string | number)[]} */
let path = ["room"];
let waiting = null, sent = [], saving = 0, broken = false;

const saved = new Saved("studio", now.version, now.can_undo, (value, reply) => arrived(value, reply));
const fields = new Fields(tables, (at, value) => save([{ put: at, value }], at), () => standsSaved("every"));
fields.studio = studio;

const plan = new Plan(one("#plan"), {
  chosen: (at) => choose(at),
  entered: (at) => { choose(at); one("#panel-head").focus(); },
  moving: (at, values) => {
    const where = at[0] === "room" ? ["room"] : at;
    if (waiting && !same(waiting.at, where)) keep();
    Object.assign(thingAt(draft, where), values);
    waiting = { at: where, values: { ...waiting?.values, ...values } };
    plan.show(draft, path);
    panel.showValues(draft, waiting.at);
  },
  moved: () => keep(),
  nudged: () => later(),
  version: () => `${saved.version} ${boards.saver.version}`,
  waiting: () => [...sent, waiting].filter(Boolean),
  boards: () => boards.onPlan(),
  dropped: () => { waiting = null; redraw(); },
  removed: (at) => remove(at),
});
// what can be taken back, in the order it was done: the room is one file, the boards of a shot stand in
// another
const done = [];
const boards = new Boards(plan, shoot, {
  choose: (at) => { choose(at); one("#panel-head").focus(); },
  redraw: () => { plan.show(draft, path); undoable(); },
  saved: (code) => standsSaved(code),
  remember: () => { done.push("boards"); undoable(); },
});
const panel = new Panel(one("#panel-head"), one("#panel"),
  fields, { save, remove, choose, add, plan, boards });
const shelf = new Shelf(one("#shelf"), one("#plan"), plan, { choose, save });
const gear = new Gear(one("#gear"), fields, { remove, add, save, version: () => saved.version });

/** What the keys have moved, or a drag: one step that can be taken back. */
async function keep() {
  if (waiting) await save([]);
}
const later = settled(450, () => keep());

/**
 * What of a move is not yet so, when its turn to be saved comes: the save before it may have come to just
 * that.
 */
function putting(moved) {
  if (!sent.includes(moved) || thingAt(studio, moved.at) === undefined) return [];
  return Object.entries(moved.values)
    .filter(([name, value]) => thingAt(studio, [...moved.at, name]) !== value)
    .map(([name, value]) => ({ put: [...moved.at, name], value }));
}

/**
 * What became of a change (a name in SAID), and what is typed and is not saved: that is said until it is put
 * right.
 */
function standsSaved(code) {
  const { open } = fields, said = open.length && ["notSaved", "every"].includes(code) ? "" : SAID[code];
  one("#saved").textContent = [said, open.length ? SAID.open(open) : ""].filter(Boolean).join(" ");
}

/**
 * Save changes; what is wrong is said at its field. tried: the field that was typed into; refusing: who tells
 * it else.
 * @param {any[]} changes
 * @param {(string | number)[] | null} tried
 * @param {((refused: any) => string | void) | null} refusing
 */
async function save(changes, tried = null, refusing = null) {
  // a nudge that waits is saved before whatever comes next, so that steps keep their order
  const moved = waiting;
  waiting = null;
  if (moved) sent.push(moved);
  saving += 1;
  standsSaved("saving");
  let changeCount = 0;
  /** @type {any} */
  let refused = null;
  const meant = () => {
    const now = [...(moved ? putting(moved) : []), ...changes];
    changeCount = now.length;
    return now;
  };
  const wasSaved = await saved.save(meant, (error) => { refused = error; });
  saving -= 1;
  sent = sent.filter((each) => each !== moved);
  if (wasSaved && changeCount) done.push("studio");
  if (moved && !(wasSaved && changeCount)) redraw();
  if (refused && refusing) { const homeless = refusing(refused); if (homeless) say(homeless, null, 12000); }
  else if (refused) {
    if (!tried) redraw();
    const first = refused.mistakes?.[0];
    const of = first?.path?.slice(0, -1) ?? [];
    if (!tried && of.length > 1 && thingAt(studio, of)) {
      if (gear.holds(of[0])) gear.open(of);
      else choose(of);
    }
    const homeless = fields.mistakes(refused.mistakes || [], tried);
    if (!refused.mistakes?.length || homeless.length) say(homeless[0]?.said || refused.message, null, 12000);
  }
  standsSaved(wasSaved ? "saved" : "notSaved");
  return wasSaved;
}

/**
 * The studio as it now is; elsewhere: a save of this page's own was not done, because somebody else was
 * first.
 */
function arrived(value, { elsewhere = false, ownChanges = [] } = {}) {
  if (elsewhere) fields.takeBack();
  studio = value;
  for (const { take } of ownChanges.filter((each) => each.take)) {
    // what was moved and is not saved yet is elsewhere in its list now, or gone
    const still = (moved) => moved && (moved.at = afterTaking(take, moved.at)) !== null;
    sent = sent.filter(still);
    if (!still(waiting)) waiting = null;
  }
  if (thingAt(studio, path) === undefined) path = ["room"];
  broken = false;
  one("#broken").hidden = true;
  redraw();
  worthAnew();
  boards.look(); // a name that is another now is another in the shoot as well
}

/** What is allowed and yet worth a second look. */
function showWorth(list) {
  one("#worth").hidden = !list.length;
  one("#worth-list")
    .replaceChildren(...list.map(({ code, about, said }) =>
    make("li", { "data-code": code }, make("strong", {}, `${about}:`), ` ${said}`)));
}
/** @param {WorthShown} reply */
const shown = (reply) => showWorth(reply.worth);
const worthAnew = reading("/studio/worth", shown, { after: [changes], ms: 300 });

function redraw() {
  draft = structuredClone(studio);
  // what is on its way to be saved, or soon will be, stands where it was moved to
  for (const moved of [...sent, waiting]) if (moved) Object.assign(thingAt(draft, moved.at) ?? {},
    moved.values);
  if (!plan.dragged) plan.show(draft, path);
  fields.show(studio);
  panel.show(studio, path);
  gear.show(studio);
  shelf.show(studio, path);
  standing();
  undoable();
  one("#to-place").setAttribute("aria-pressed", String(path[0] === "place"));
  one("#to-room").setAttribute("aria-pressed", String(path[0] === "room"));
}

/** Undo takes back what was done last on this page; after that, older changes of the room. */
function undoable() {
  one("#undo").disabled = !(done.at(-1) === "boards" ? boards.saver.canUndo : saved.canUndo);
}

const standing = () => boards.at(studio, path[0] === "spots" ? path[1] : null);

function choose(at) {
  if (same(at, path)) return;
  path = at;
  standing();
  plan.show(draft, path);
  panel.show(studio, path);
  shelf.show(studio, path);
  one("#to-place").setAttribute("aria-pressed", String(path[0] === "place"));
  one("#to-room").setAttribute("aria-pressed", String(path[0] === "room"));
}

let adding = false;
async function add(kind) {
  // a double click is one wish
  if (adding) return;
  adding = true;
  try { await added(kind); } finally { adding = false; }
}

async function added(kind) {
  const addition = newThing(studio, tables, kind, path);
  if (typeof addition === "string") { say(addition, null, 8000); return; }
  if (kind === "readings") { gear.reading.open(addition.item); return; }
  if (!await save([...(addition.first || []), { add: addition.list, item: addition.item }])) return;
  const list = thingAt(studio, addition.list), at = [...addition.list, list.length - 1];
  if (gear.holds(kind)) gear.open(at); else {
    choose(at);
    one("#panel-head").focus({ preventScroll: innerWidth > 960 });
  }
}

let removing = false;
/** Pressed twice is one wish: the second would take out what has moved up into its place. */
async function remove(at) {
  if (removing) return;
  const thing = thingAt(studio, at), name = thing?.name || thing?.at || SAID.it;
  const was = path;
  if (same(at, path)) path = ["room"];
  removing = true;
  const gone = await save([{ take: at }]);
  removing = false;
  if (gone) say(SAID.takenOut(name), { words: SAID.undo, do: undo }); else choose(was);
}

let undoing = Promise.resolve();
/** One after another, each after what is still being saved. */
const undo = () => (undoing = undoing.then(undoOne));

async function undoOne() {
  keep();
  boards.keep();
  await saved.queue;
  if (done.at(-1) === "boards" && boards.saver.canUndo) {
    if (await boards.undo()) { done.pop(); standsSaved("undone"); undoable(); }
    return;
  }
  if (!saved.canUndo) { say(SAID.nothingToUndo); return; }
  fields.undoing = true;
  const back = await saved.undo();
  fields.undoing = false;
  if (!back) return;
  if (done.at(-1) === "studio") done.pop();
  standsSaved("undone");
  undoable();
}

one("#undo").addEventListener("click", undo);
one("#to-room").addEventListener("click", () => choose(["room"]));
one("#to-place").addEventListener("click", () => choose(["place"]));
for (const button of all("[data-add]")) button.addEventListener("click", () => add(button.dataset.add));
addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.shiftKey || event.key.toLowerCase() !== "z") return;
  const typed = [...fields.fields.values()].find((each) => each.input === document.activeElement);
  if (typed && typed.input.value !== typed.drawn) return; // letters just typed: the field's own undo
  if (!typed && /^(INPUT|TEXTAREA)$/.test(document.activeElement?.tagName ?? "")) return;
  event.preventDefault();
  undo();
});
addEventListener("pagehide", () => { keep(); boards.keep(); });

// ---- changed elsewhere: another tab, a tablet, a text editor ----------------------------------------

async function look() {
  if (document.hidden || saving || waiting || plan.dragged) return;
  try {
    /** @type {VersionShown} */
    const { version } = await ask("/studio/version");
    if (version === saved.version || saving || waiting || plan.dragged) {
      if (!broken || version === saved.version) showBroken(false);
      return;
    }
    const reply = await saved.readElsewhere(() => saving || waiting || plan.dragged);
    if (!reply) return;
    arrived(reply.value);
    say(SAID.elsewhere, null, 8000);
  } catch (error) {
    if (error.status === 422) showBroken(true);
  }
}

async function showBroken(is) {
  if (!is) { broken = false; one("#broken").hidden = true; return; }
  if (broken) return;
  broken = true;
  one("#broken").replaceChildren(SAID.broken, make("a", { href: "/studio/fix" }, SAID.seeFix), ".");
  one("#broken").hidden = false;
}

on("settings", ({ which }) => { if (which === "studio") look(); else { boards.look(); worthAnew(); } });
addEventListener("focus", () => boards.look());
addEventListener("focus", look);
document.addEventListener("visibilitychange", look);
setInterval(look, 3000);
// rows of the journal do not matter here: only news
follow(Number.MAX_SAFE_INTEGER);
redraw();
showWorth(worth);

// The Plan page: the file's value in, fields and cards out; every change saved at once, the day worked out
// behind it.
/** @import { DayAnswer, PlannedDay } from "../core/facts" */
import { ask, Refused } from "../core/ask.js";
import { all, around, given, make, one, settled } from "../core/dom.js";
import { follow, on } from "../core/live.js";
import { Saved } from "../core/save.js";
import { say, trying } from "../core/say.js";
import { DayChart, dayNotes, dayOrder } from "./day.js";
import { at, Fields } from "./fields.js";
import { begun, goOn, movedTo } from "./go_on.js";
import { Items } from "./items.js";
import { lightRead } from "./light_read.js";
import { Pictures } from "./pictures.js";
import { row } from "./rows.js";
import { offerToOthers } from "./shared.js";
import { ShotCard, WORDS_ONLY } from "./shots.js";
import { CHANNEL, DAY, ITS_FILES, KEEPS, RECIPE, SAID, STEP } from "./words.js";

const start = given("given");
const LOOK_MS = 4000, SOON_MS = 20;
let value = start.saved.value;
let cards = [];
/** None before the first answer. @type {PlannedDay} */
let day;
let drawn = {}, asked = null, again = false, wantedVersion = start.saved.version;
const landed = start.landed;
const versions = { shoot: start.saved.version, studio: "" };

const saved = new Saved("shoot", start.saved.version, start.saved.can_undo, (now, reply) => take(now, reply));
const fields =
  new Fields({ schema: start.schema, names: start.names,
  save: (changes, mistaken) => saveField(changes, mistaken), value: () => value, refused, along });
const chart = new DayChart(one("#day-chart"));
const pictures = new Pictures({
  show: (shot, picture) => card(shot)?.picture.show(picture),
  progress: (shot, words, share) => card(shot)?.picture.progress(words, share),
  stale: () => workOut(),
  inSight: (shot) => card(shot)?.inSight ?? 0,
});

const card = (name) => cards.find((each) => each.name === name);
const items = new Items({ value: () => value, save: (changes) => save(changes), undo: () => undo(),
  open: (shot) => {
    card(shot)?.open("title");
    card(shot)?.element.scrollIntoView({ block: "start" });
  } });

// ---- saving --------------------------------------------------------------------------------------------

let marking = false;

async function save(changes, mistaken = null) {
  return saved.save(changes, mistaken);
}

/** A field's change; what the other shots share of it is offered to them. */
async function saveField(changes, mistaken) {
  const before = value.shots, done = await save(changes, mistaken);
  if (done && Array.isArray(changes)) offerToOthers(before, changes[0],
    { label: (name) => fields.entry("Shot", name).label, value: () => value, save });
  return done;
}

function take(now, reply) {
  const before = value;
  value = now;
  const same = structure(before) === structure(now);
  if (!same) rebuild(before);
  fields.show(marking);
  for (const each of cards) each.words(now);
  briefs();
  one("#dish").textContent = now.recipe.title || SAID.plan;
  one("#undo").disabled = !saved.canUndo;
  if (versions.shoot !== reply.version && changesDay(before, now)) {
    wantedVersion = reply.version;
    markStale();
    workOut();
  }
  else wantedVersion = reply.version;
  versions.shoot = reply.version;
}

/** What stands where: as long as it is the same, only values are shown anew. */
function structure(shoot) {
  return JSON.stringify([shoot.shots.map((shot) => [shot.name, shot.boards.length]),
    shoot.recipe.steps.length, shoot.channels.map((channel) => channel.name), start.names]);
}

/** Whether anything that is worked out rests on the difference. */
function changesDay(before, now) {
  const bare = (shoot) => JSON.stringify([
    shoot.date, shoot.sky, shoot.from_time, shoot.to_time,
      shoot.studio, shoot.channels, shoot.recipe.steps, shoot.recipe.perishable,
    shoot.shots.map((shot) => Object.entries(shot).filter(([name]) => !WORDS_ONLY.has(name))),
  ]);
  return bare(before) !== bare(now);
}

/**
 * Changes that must not be tried: frames are filed under their shot's name, and a dish without one is named
 * nowhere.
 */
function refused(path, wanted) {
  if (path.join(".") === "recipe.title" && !wanted) return SAID.dishNamed(value.recipe.title);
  if (path[0] === "shots" && path[2] === "name") {
    const old = at(value, path);
    if (landed[old] && wanted !== old) return SAID.landed(landed[old], old);
  }
  return "";
}

/** A thing called anew is called so by all who name it. */
function along(path, wanted) {
  const old = at(value, path);
  if (path[0] === "channels" && path[2] === "name") {
    return value.shots.flatMap((shot, n) =>
      (shot.channels.includes(old)
      ? [{ put: ["shots", n, "channels"],
      value: shot.channels.map((name) => (name === old ? wanted : name)) }] : []));
  }
  if (path[0] === "shots" && path[2] === "name") {
    return value.recipe.steps.flatMap((step, n) =>
      (step.for_shot === old ? [{ put: ["recipe", "steps", n, "for_shot"], value: wanted }] : []));
  }
  return [];
}

async function undo() {
  marking = true;
  const done = await saved.undo();
  marking = false;
  if (done) say(SAID.undone);
}

one("#undo").addEventListener("click", undo);
document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.shiftKey || event.key.toLowerCase() !== "z") return;
  // while you write, the field's own undo serves
  const writing = around(event, "input[type=text], textarea");
  const field = writing && [...fields.all].find((each) => each.element.contains(writing));
  if (field?.dirty || !saved.canUndo) return;
  event.preventDefault();
  undo();
});
document.addEventListener("visibilitychange", () => {
  if (document.hidden) document.activeElement?.dispatchEvent(new Event("change"));
});

// ---- changes from elsewhere ----------------------------------------------------------------------------

async function look() {
  const now = await ask("/plan/versions");
  if (JSON.stringify(now.names) !== JSON.stringify(start.names)) {
    start.names = now.names;
    fields.names = now.names;
    rebuild();
    fields.show();
  }
  if (versions.studio && now.studio !== versions.studio) {
    versions.studio = now.studio;
    markStale();
    workOut();
  }
  versions.studio = now.studio;
  await saved.queue;
  if (now.shoot === saved.version) return;
  const read = await saved.readElsewhere();
  if (!read) return;
  marking = true;
  take(read.value, read);
  marking = false;
  one("#mend").hidden = true;
  say(SAID.elsewhere, null, 9000);
}

let looking = false;
async function lookQuietly() {
  if (looking || document.hidden) return;
  looking = true;
  try {
    await look();
  } catch (error) {
    if (error.status === 422 || error.status === 503) mend(error);
  } finally {
    looking = false;
  }
}

on("settings", lookQuietly);
on("connected", lookQuietly);
setInterval(lookQuietly, LOOK_MS);
document.addEventListener("visibilitychange", lookQuietly);
lookQuietly();

// ---- the day -------------------------------------------------------------------------------------------

function markStale() {
  one("#day").classList.add("stale");
  one("#day-state").textContent = DAY.planning[Number(Boolean(day))];
  for (const each of cards) each.stale();
}

/** At once: what is changed while a day is worked out waits for that one, and is then worked out in one. */
const workOut = settled(SOON_MS, async () => {
  if (asked) { again = true; return; }
  asked = ask("/plan/day");
  try {
    const reply = await asked;
    if (reply.day.version === wantedVersion) showDay(reply);
    else { again = true; lookQuietly(); }
  } catch (error) {
    mend(error);
  }
  asked = null;
  if (again) { again = false; workOut(); }
});

/** @param {DayAnswer} reply */
function showDay(reply) {
  ({ day, drawn } = reply);
  versions.studio = versions.studio || day.studio_version;
  one("#mend").hidden = true;
  one("#day").classList.remove("stale", "unplanned");
  one("#day-state").textContent = "";
  one("#lead").textContent = lead();
  one("#unlit").hidden = !day.unlit;
  one("#unlit p").textContent = day.unlit;
  chart.show(day);
  const order = dayOrder(day);
  one("#in-order").hidden = !order;
  one("#order-brief").textContent = order?.brief ?? "";
  one("#day-order").replaceChildren(...(order ? [order.list] : []));
  one("#day-notes").replaceChildren(...dayNotes(day));
  for (const shot of day.shots) card(shot.name)?.show(shot);
  wantPictures();
}

/** A picture of every set-up whose light is known. */
function wantPictures() {
  const drawable = day.shots.filter((shot) => shot.card && shot.light && card(shot.name));
  pictures.want(drawable.map((shot) => ({ shot: shot.name, key: shot.card?.picture_key })), drawn);
}

/** What stands in the folded parts. */
function briefs() {
  const { recipe, channels } = value;
  one("#recipe-brief").textContent = SAID.recipeBrief(recipe.ingredients.length, recipe.steps.length);
  one("#channels-brief").textContent = channels.map((each) => each.name).join(", ");
}

function lead() {
  return DAY.lead(new Date(`${value.date}T12:00`), day.place, value.sky, day.begins);
}

/** What keeps the day from being worked out: at the top, and nothing old shown as if it held. */
function mend(error) {
  const mistakes = error.mistakes || [];
  const reply = JSON.stringify([error.message, mistakes]);
  if (!one("#mend").hidden && one("#mend").dataset.reply === reply) return;
  one("#mend").dataset.reply = reply;
  const own = (m) => m.file === "shoot.toml";
  one("#mend-list").replaceChildren(...(mistakes.length ? mistakes.map((m) =>
    make("div", { class: "mistake", "data-code": m.code },
      make("strong", {}, m.where || DAY.where[own(m) ? "shoot" : "studio"]), make("p", {}, m.said)))
    : [make("p", { class: "mistake" }, error instanceof Refused ? error.message : String(error))]));
  one("#mend-shoot").hidden = !mistakes.some(own);
  one("#mend-studio").hidden = mistakes.every(own);
  one("#mend").hidden = false;
  one("#day").classList.add("stale", "unplanned");
  one("#day-state").textContent = DAY.notPlanned;
  for (const each of cards) each.unplanned();
}

// ---- lists: shots, steps, channels ---------------------------------------------------------------------

/** Fields of a channel without a hint, by this page's own label where it has one. */
const bare = (...names) => names.map((name) => [name, { label: CHANNEL[name], hint: "" }]);

function rebuild(before = value) {
  const known = new Set(cards.map((each) => each.name));
  let open = cards.find((each) => each.isOpen)?.name ?? "";
  // a shot that was only called anew stays open
  value.shots.forEach((shot, n) => {
    if (!known.has(shot.name) && cards[n]?.isOpen && value.shots.length === cards.length) open = shot.name;
  });
  const unfolded =
    new Set(cards.flatMap((each, n) =>
    (each.rest.open ? [each.name, cards.length === value.shots.length ? value.shots[n].name : ""] : [])));
  const unfoldedChannels = new Set(all("#channel-list > li")
    .filter((each) => each.querySelector("details")?.open)
    .map((each) => each.querySelector(".of-name input").value));
  const were = begun(fields);
  for (const place of ["#shot-list", "#step-list", "#channel-list"]) fields.forget(one(place));
  const old = new Map(cards.map((each) => [each.name, each]));
  cards = value.shots.map((shot, number) => new ShotCard({
    fields, value, number, total: value.shots.length,
    move: (by) => items.move(["shots", number], shot.name, (act) => `#shot-${shot.name} ${act}`, by),
    copy: () => items.copyShot(number, shot.name),
    remove: () => items.remove(["shots", number], shot.name),
    opens: onlyOpen,
  }));
  for (const each of cards) {
    const reply = day?.shots.find((shot) => shot.name === each.name);
    if (reply) {
      each.show(reply);
      if (old.get(each.name)?.element.classList.contains("stale")) each.stale();
    } else each.stale();
    if (open === each.name) each.open();
    each.rest.open = unfolded.has(each.name);
  }
  one("#shot-list").replaceChildren(...cards.map((each) => each.element));
  one("#no-shots").hidden = cards.length > 0;
  if (day) wantPictures();
  const { steps } = value.recipe;
  one("#step-list").replaceChildren(...steps.map((step, number) => {
    const stepRow = row({
      fields, table: "Step", array: ["recipe", "steps"],
        number, total: steps.length, name: step.name || SAID.step(number + 1), kind: "step",
      layout: Object.entries(STEP)
        .map(([field, label]) =>
        [field, { label, hint: "", placeholder: field === "looks_fresh_for" ? KEEPS : undefined }]),
      move: (by) => items.move(["recipe", "steps", number],
        step.name, (act, to) => `[data-item="recipe.steps-${to}"] ${act}`, by),
      remove: () => items.remove(["recipe", "steps", number], step.name),
    });
    return stepRow;
  }));
  one("#channel-list").replaceChildren(...value.channels.map((channel, number) => row({
    fields, table: "Channel", array: ["channels"],
      number, total: value.channels.length, name: channel.name, kind: "channel",
    layout: bare("name", "width_px", "height_px", "text_space"),
    folded: bare("formats", "largest_kb", "on_page"),
    more: ITS_FILES, unfolded: unfoldedChannels.has(channel.name),
    move: (by) => items.move(["channels", number],
      channel.name, (act, to) => `[data-item="channels-${to}"] ${act}`, by),
    remove: () => items.removeChannel(["channels", number], channel.name),
  })));
  goOn(fields, were, (path) => movedTo(path, before, value));
}

// ---- one shot open at a time ---------------------------------------------------------------------------

/**
 * The address names the open shot, so that a reload and a link find it.
 * @param {ShotCard | null} opened
 * @param {ShotCard | null} [closed]
 */
function onlyOpen(opened, closed = null) {
  for (const each of cards) if (opened && each !== opened && each.isOpen) each.close();
  const { hash } = location;
  if (opened) history.replaceState(null, "", `#${opened.element.id}`);
  else if (hash === `#${closed?.element.id}`) history.replaceState(null, "", location.pathname);
}

/** Open what the address names: a shot, or a part of the page that is folded. */
function openNamed() {
  const named = decodeURIComponent(location.hash.slice(1));
  const shot = cards.find((each) => each.element.id === named);
  if (shot) { shot.open(); shot.element.scrollIntoView({ block: "start" }); }
  const part = document.getElementById(named)?.querySelector(":scope > details.part");
  if (part instanceof HTMLDetailsElement) part.open = true;
}
addEventListener("hashchange", openNamed);

one("#add-shot").addEventListener("click", () => trying(() => items.addShot()));
one("#add-step").addEventListener("click", () => trying(() => items.addStep()));
one("#add-channel").addEventListener("click", () => trying(() => items.addChannel()));

// ---- begin ---------------------------------------------------------------------------------------------

one("#day-fields")
  .prepend(...["date", "sky", "from_time", "to_time"].map((name) => fields.make("Shoot", name, [])));
lightRead(start.lux, () => { markStale(); workOut(); });
const ofRecipe = (name, options = {}) => fields.make("Recipe", name, ["recipe"], options);
one("#recipe-dish").append(ofRecipe("title", { label: RECIPE.title }),
  ofRecipe("serves"), ofRecipe("perishable"));
one("#recipe-food").append(ofRecipe("ingredients"),
  make("div", {}, ofRecipe("description"), ofRecipe("allergens", { hint: RECIPE.allergens })));
one("#recipe-search").append(...["cuisine", "course", "keywords"].map((name) => ofRecipe(name)));
one("#creator-fields")
  .append(...["name", "credit", "copyright", "licence_url", "acquire_url",
  "usage_terms", "page_url", "language"].map((name) => fields.make("Creator", name, ["creator"])));
one("#undo").disabled = !saved.canUndo;
// where the page is narrower than a laptop, what is only worth knowing waits for a press
if (matchMedia("(max-width: 75rem)").matches) one("#to-know").open = false;
rebuild();
briefs();
openNamed();
markStale();
follow(start.row);
workOut();

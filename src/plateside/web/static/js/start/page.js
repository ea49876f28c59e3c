// The start page: open a shoot, a further shoot in the same kitchen, the demo.
/** @import { Begun, DemoMade, JobShown, JobsShown, StartShown } from "../core/facts" */
import { ask, tell, work } from "../core/ask.js";
import { all, given, one } from "../core/dom.js";
import { follow, stopFollowing } from "../core/live.js";
import { markField } from "../core/save.js";
import { say, trying } from "../core/say.js";
import { startAgain } from "../core/start_again.js";
import { DEMO, END } from "./words.js";

/** @type {StartShown} */
const { stages, stage: part, day } = given("given");
// only news of work and of a shoot opened elsewhere matter here, no rows
const listen = () => follow(Number.MAX_SAFE_INTEGER);

/** Open a shoot. The answer leads this page on: the news of it, which is for all others, would not. */
async function open(path, data) {
  stopFollowing();
  try {
    /** @type {Begun} */
    const { next } = await tell(path, data);
    location.assign(next);
  } catch (error) { listen(); throw error; }
}

for (const button of all("[data-open]")) {
  button.addEventListener("click", () => trying(() => open("/start/open", { shoot: button.dataset.open })));
}

// a further shoot
const dialog = one("#next-shoot"), form = one("#next-form");
let studioOf = "";
for (const button of all("[data-next]")) {
  button.addEventListener("click", () => {
    studioOf = button.dataset.next;
    form.reset();
    one("#next-date").value = day;
    for (const field of all(".field", form)) markField(field, "");
    dialog.showModal();
  });
}
one("#next-no").addEventListener("click", () => dialog.close());
form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const fields = Object.fromEntries(new FormData(form));
  for (const field of all(".field", form)) markField(field, "");
  try {
    await open("/start/next", { ...fields, studio_of: studioOf });
  } catch (error) {
    const at = error.mistakes?.find((m) => form.elements[m.path?.[0]]);
    if (!at) { dialog.close(); say(error.message, null, 9000); return; }
    markField(form.elements[at.path[0]].closest(".field"), at.said);
    form.elements[at.path[0]].focus();
  }
});

// the menu of the system, and the end
one("#menu").addEventListener("click", () => trying(async () => {
  await tell("/start/menu");
  one("#in-menu").hidden = false;
  one("#into-menu").hidden = true;
}));
one("#end").addEventListener("click", () => trying(async () => {
  await tell("/start/end");
  stopFollowing();
  say(END.ended(startAgain()), null, 3600000);
}));

// the demo
one("#demo").addEventListener("click", () => trying(() => open("/start/demo")));
const place = one("#demo-work"), bar = one("#demo-bar"),
  words = one("#demo-words"), whole = one("#whole-demo");
let running = null, pressed = false;

/** @param {JobShown} job */
function going(job) {
  place.hidden = false;
  whole.disabled = true;
  bar.value = job.total ? job.done / job.total : 0;
  const now = stages[Math.min(Math.floor(job.done / part), stages.length - 1)];
  words.textContent = job.state === "waiting" ? DEMO.beginning : now;
}

/** @param {JobShown | null} begun where it goes on already */
async function makeWhole(begun = null) {
  pressed = true;
  running = work("/start/demo/whole", {}, going, begun);
  try {
    /** @type {DemoMade} */
    const reply = await running;
    const shoot = reply.shoot.split("/").slice(-2).join("/");
    words.textContent = DEMO.made;
    bar.value = 1;
    say(DEMO.whole, { words: DEMO.open, do: () => trying(() => open("/start/open", { shoot })) });
  } catch (error) {
    place.hidden = true;
    say(error.message, null, 9000);
  } finally {
    whole.disabled = false;
    running = null;
  }
}
whole.addEventListener("click", () => { if (!running) makeWhole(); });
one("#demo-stop").addEventListener("click", () => running?.stop());

// a page loaded again while the demo is being made shows it again
trying(async () => {
  /** @type {JobsShown} */
  const { jobs } = await ask("/work");
  const job = jobs.find((each) => each.work === "start.demo" && ["waiting", "running"].includes(each.state));
  // what was pressed since is newer, whatever has come of it
  if (job && !pressed) makeWhole(job);
});
listen();

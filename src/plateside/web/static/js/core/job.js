// A press that begins long work: how far it is, a stop, what came of it. Loaded again, it goes on from where
// the work is.
/** @import { JobShown, JobsShown } from "./facts" */
import { ask, work } from "./ask.js";
import { make } from "./dom.js";
import { say } from "./say.js";
import { JOB } from "./words.js";

/**
 *   place    the element it is drawn into
 *   words    on the button
 *   path     where the work begins (POST)
 *   kind     the work's name, to find it again after a reload
 *   data     () => what is sent
 *   again    (args of the running job) => what was sent
 *   counted  (done, total) => words while it runs
 *   inTurn   words while the same work, begun elsewhere, is not over
 *   done     (result) => words, or nothing
 *   main     the page's chief act
 * Gives back press(), as if the button were pressed, and shut(reason): the press does nothing while there is
 * a reason why
 * it cannot, and the reason stands beside it.
 */
export function longWork(place,
  { words, path, kind, data = () => ({}), again = (_args) => ({}),
  counted = JOB.done, inTurn = "", done = (_result) => "", main = false }) {
  const button = make("button", { type: "button", class: main ? "main" : null, onclick: () => press() },
    words);
  const bar = make("progress", { "aria-label": words, max: 1 });
  const how = make("span", { class: "small soft number" });
  const stop = make("button", { type: "button", class: "quiet", onclick: () => {
    how.textContent = JOB.stopping;
    running?.stop();
  } }, JOB.stop);
  const box = make("div", { class: "under-way", hidden: true },
    make("div", { class: "row" }, how, stop), bar);
  const said = make("p", { class: "small soft came", role: "status" });
  const why = make("p", { class: "small soft why", hidden: true, id: `why-${kind.replace(".", "-")}` });
  place.replaceChildren(button, why, box, said);
  let running = null, reason = "", pressed = false;

  /**
   * Not to be pressed for this reason; none: it can be. It stays in the order of keys, so that its reason is
   * heard.
   */
  function shut(words_) {
    reason = words_;
    why.textContent = reason;
    why.hidden = !reason || Boolean(running);
    if (reason) {
      button.setAttribute("aria-disabled", "true");
      button.setAttribute("aria-describedby", why.id);
    }
    else { button.removeAttribute("aria-disabled"); button.removeAttribute("aria-describedby"); }
  }

  function press() { if (!reason) run(data()); }

  /** @param {JobShown | null} begun where it goes on already */
  async function run(sent, begun = null) {
    if (running) return;
    pressed = true;
    button.hidden = true; why.hidden = true; box.hidden = false; said.textContent = "";
    how.textContent = JOB.begin; bar.removeAttribute("value");
    running = work(path, sent, (job) => {
      if (job.state === "waiting") how.textContent = JOB.waits;
      if (job.state !== "running") return;
      if (!job.total) { how.textContent = inTurn || how.textContent; return; }
      bar.max = job.total; bar.value = job.done;
      how.textContent = counted(job.done, job.total);
    }, begun);
    const hadFocus = document.activeElement === button || document.activeElement === document.body;
    if (hadFocus) stop.focus();
    try {
      said.textContent = done(await running) || "";
    } catch (error) {
      said.textContent = error.message;
      if (error.status !== 409) say(error.message, null, 9000);
    } finally {
      const atStop = document.activeElement === stop;
      running = null; button.hidden = false; box.hidden = true; why.hidden = !reason;
      if (atStop) button.focus();
    }
  }

  // begun before this page was loaded, or on another one
  ask("/work").then((/** @type {JobsShown} */ { jobs }) => {
    const job = jobs.find((j) => j.work === kind && (j.state === "running" || j.state === "waiting"));
    // what was pressed since is newer, whatever has come of it
    if (job && !pressed) run(again(job.args), job);
  }, () => {});
  return { run, press, shut, get running() { return Boolean(running); } };
}

// Settings edited in place: every change is saved at once, its mistakes told where they stand, undo step by step.
import { ask, tell } from "./ask.js";
import { say } from "./say.js";

const AGAIN_MS = 1500;
/** The browser asks before a page is left that holds what could not be saved. */
const stay = (event) => event.preventDefault();

/**
 * One settings file on a page.
 *   which    "studio" or "shoot"
 *   version  the version the page was drawn with
 *   changed  called with the file's new value after each save, undo, or change elsewhere, and with what was told:
 *            `elsewhere` when a save of this page's own was refused for it
 */
export class Saved {
  constructor(which, version, canUndo, changed) {
    Object.assign(this, { which, version, canUndo, changed });
    this.queue = Promise.resolve();
    this.turns = 0;
  }

  /** Changes: {put: path, value} | {add: path, item} | {take: path}; all or none. Resolves to true when saved. */
  save(changes, mistaken = null) {
    return this.#inTurn(() => tell(`/settings/${this.which}`, { changes, version: this.version }), mistaken);
  }

  undo() { return this.#inTurn(() => tell(`/settings/${this.which}/undo`, { version: this.version })); }

  /**
   * Read the file, for who heard that it may have been changed elsewhere. Resolves to what is there, or to null when
   * it is what this page knows, or when a change of this page's own was begun meanwhile (or busy() says that one is
   * coming): what was read may be older than that.
   */
  async readElsewhere(busy = () => false) {
    await this.queue;
    const { turns } = this;
    const told = await ask(`/settings/${this.which}`);
    if (busy() || this.turns !== turns || told.version === this.version) return null;
    Object.assign(this, { version: told.version, canUndo: told.can_undo });
    return told;
  }

  #inTurn(action, mistaken) {
    this.turns += 1;
    this.queue = this.queue.then(async () => {
      try {
        this.#take(await this.#lasting(action));
        return true;
      } catch (error) {
        // what was typed against the older value stays in view: who shows the newer one is told that it came so
        if (error.told?.now) this.#take({ ...error.told.now, elsewhere: true });
        if (mistaken && error.status === 422) mistaken(error); else say(error.message, null, 9000);
        return false;
      }
    });
    return this.queue;
  }

  /** What was changed while Plateside does not answer is not lost: it is sent again until it does. */
  async #lasting(action) {
    for (let waited = false; ; waited = true) {
      try {
        const told = await action();
        if (waited) say("Plateside answers again: your change is saved.");
        return told;
      } catch (error) {
        if (error.status !== 0) throw error;
        say("Not saved yet: Plateside does not answer. Leave this page open and start Plateside again at the laptop; then it is saved by itself.", null, AGAIN_MS * 4);
        addEventListener("beforeunload", stay);
        await new Promise((resolve) => setTimeout(resolve, AGAIN_MS));
        removeEventListener("beforeunload", stay);
      }
    }
  }

  #take(told) {
    this.version = told.version;
    this.canUndo = told.can_undo;
    this.changed(told.value, told);
  }
}

/** Tell a mistake at a field (an element with class "field"); no words: it is right again. */
export function markField(field, words) {
  field.classList.toggle("wrong", Boolean(words));
  let place = field.querySelector(".said");
  if (!words) { place?.remove(); return; }
  if (!place) { place = document.createElement("p"); place.className = "said"; field.append(place); }
  place.textContent = words;
  const input = field.querySelector("input, select, textarea");
  if (input) { place.id ||= `said-${input.id}`; input.setAttribute("aria-describedby", place.id); input.setAttribute("aria-invalid", "true"); }
}

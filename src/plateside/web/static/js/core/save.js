// Settings edited in place: every change is saved at once, its mistakes said where they stand, undo step by
// step.
import { ask, tell } from "./ask.js";
import { newest } from "./latest.js";
import { Line } from "./line.js";
import { say } from "./say.js";
import { SAID } from "./words.js";

const AGAIN_MS = 1500;
/**
 * All changes of a page go one after another, whichever file they are of: a name changed in one is changed in
 * the other.
 */
export const changes = new Line();
const files = new Map();
/** The browser asks before a page is left that holds what could not be saved. */
const stay = (event) => event.preventDefault();

/**
 * One settings file on a page.
 *   which    "studio" or "shoot"
 *   version  the version the page was drawn with
 *   changed  called with the file's new value after each save, undo or change elsewhere, and with the reply
 */
export class Saved {
  #asked = newest();

  constructor(which, version, canUndo, changed) {
    this.which = which;
    this.version = version;
    this.canUndo = canUndo;
    this.changed = changed;
    this.refusals = 0;
    files.set(which, this);
  }

  /** Resolves when every change begun so far is answered. */
  get queue() { return changes.over; }

  /**
   * Changes: {put: path, value} | {add: path, item} | {take: path}; all or none. Resolves to true when saved.
   * Or a function that gives them when their turn comes, on top of what the change before them came to; none:
   * nothing
   * is left to change.
   * @param {any} wanted
   * @param {((error: any) => unknown) | null} mistaken hears what cannot be; else it is said
   */
  save(wanted, mistaken = null) {
    return this.#inTurn(() => {
      const now = typeof wanted === "function" ? wanted() : wanted;
      return now.length ? async () =>
        ({ ...await tell(`/settings/${this.which}`, { changes: now, version: this.version }), ownChanges: now })
        : null;
    }, mistaken);
  }

  undo() { return this.#inTurn(() => () => tell(`/settings/${this.which}/undo`, { version: this.version })); }

  /**
   * Read the file, for who heard that it may have been changed elsewhere. Resolves to what is there, or to
   * null when it is what this page knows, or may be older than that: a change of this page's own was begun
   * meanwhile (or busy() says that one is coming), or it was read again.
   */
  async readElsewhere(busy = () => false) {
    const { begun } = changes, isNewest = this.#asked();
    await changes.over;
    const reply = await ask(`/settings/${this.which}`);
    if (busy() || changes.begun !== begun || !isNewest() || reply.version === this.version) return null;
    this.version = reply.version;
    this.canUndo = reply.can_undo;
    return reply;
  }

  #inTurn(meant, mistaken) {
    const { refusals } = this;
    return changes.add(async () => {
      // meant for what this page showed before somebody else's change, as the one that was refused for it
      if (refusals !== this.refusals) return false;
      try {
        const action = meant();
        if (action) this.#take(await this.#lasting(action));
        return true;
      } catch (error) {
        // what was typed against the older value stays in view: who shows the newer one is told that it came
        // so
        if (error.reply?.now) this.refusals += 1;
        if (error.reply?.now) this.#take({ ...error.reply.now, elsewhere: true });
        if (mistaken && error.status === 422) mistaken(error); else say(error.message, null, 9000);
        return false;
      }
    });
  }

  /** What was changed while Plateside does not answer is not lost: it is sent again until it does. */
  async #lasting(action) {
    for (let waited = false; ; waited = true) {
      try {
        const reply = await action();
        if (waited) say(SAID.savedAfterAll);
        return reply;
      } catch (error) {
        if (error.status !== 0) throw error;
        say(SAID.notSavedYet, null, AGAIN_MS * 4);
        addEventListener("beforeunload", stay);
        await new Promise((resolve) => setTimeout(resolve, AGAIN_MS));
        removeEventListener("beforeunload", stay);
      }
    }
  }

  #take(reply) {
    this.version = reply.version;
    this.canUndo = reply.can_undo;
    this.changed(reply.value, reply);
    // what this change did to the other file is this page's own as well
    const other = reply.also && files.get(reply.also.which);
    if (other) other.#take(reply.also);
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
  if (input) {
    place.id ||= `said-${input.id}`;
    input.setAttribute("aria-describedby", place.id);
    input.setAttribute("aria-invalid", "true");
  }
}

// What is measured of the newest frame: what to change is drawn on it, what a delivery will lack is said.
/** @import { CloserFacts, Marks, SaidMark, SetScreen } from "../core/facts" */
import { ask } from "../core/ask.js";
import { newest } from "../core/latest.js";
import { factsOf } from "../closer/facts.js";

export class Measured {
  /**
   * What is drawn on the frame.
   * @type {{frame: string, marks: SaidMark[], changed: SaidMark[], reply: Marks | null}}
   */
  marks = { frame: "", marks: [], changed: [], reply: null };
  /** What a delivery of the frame will lack, and what can be laid over it. @type {CloserFacts | null} */
  known = null;
  #asked = newest();

  /**
   * about: now() what the page knows, drawn() when there is more to draw on the frame, lacks() when it is
   * known what a delivery will lack.
   * @param {{now: () => SetScreen, drawn: () => void, lacks: () => void}} about
   */
  constructor(about) {
    this.about = about;
  }

  /** Another frame, of which nothing is measured yet. */
  begin(frame) { this.marks = { frame, marks: [], changed: [], reply: null }; }

  facts() { return factsOf(this.about.now()); }

  lacks() {
    const { frame } = this.about.now();
    return this.known && this.known.frame === frame?.id && frame.word ? this.known.lacks : [];
  }

  async ask() {
    const { frame } = this.about.now(), id = frame?.id, isNewest = this.#asked();
    const isStill = () => isNewest() && this.about.now().frame?.id === id;
    if (!id || !frame?.word) return;
    try {
      const reply = await ask(`/set/marks/${id}`);
      if (!isStill()) return;
      this.marks = { frame: id, marks: reply.marks, changed: [], reply };
      this.about.drawn();
      const changed = await ask(`/set/changed/${id}`);
      if (!isStill()) return;
      this.marks.changed = changed.marks;
      this.about.drawn();
    } catch { /* the word stands without its drawing */ }
    if (!isStill()) return;
    try {
      const known = await this.facts();
      if (!isStill()) return;
      this.known = known;
      this.about.lacks();
    } catch { /* nothing is known that a delivery would lack */ }
  }
}

// Where the grey card is in a frame: shown bright, you touch the card, or move a cross there by arrows.
/** @import { CardTouched } from "../core/facts" */
import { ask } from "../core/ask.js";
import { draw, make, one, settled } from "../core/dom.js";
import { press, takeBack } from "../core/press.js";
import { layMarks } from "./marks.js";
import { CARD } from "./words.js";

const STEP = 0.01, FAR = 0.05;
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

export class Card {
  /**
   * about: now() what the page knows, marks() what is drawn on its frame, refresh() asks anew, closed()
   * afterwards.
   */
  constructor(about) {
    this.about = about;
    this.image = make("img", {});
    this.svg = draw("svg", { class: "marks", "aria-hidden": "true" });
    this.box = one("#card-box");
    this.pad = one("#card-pad");
    this.pad.append(this.image, this.svg);
    this.said = one("#card-said");
    this.back = one("#card-back");
    this.back.addEventListener("click", () => this.#takeBack());
    one("#card-done").addEventListener("click", () => this.box.close());
    this.lay = () => this.#lay();
    this.place = settled(400, () => { if (!this.busy) this.said.textContent = CARD.cross(...this.at); });
    this.image.addEventListener("load", this.lay);
    new ResizeObserver(this.lay).observe(this.image);
    this.image.addEventListener("click", (event) => {
      const at = this.image.getBoundingClientRect();
      this.mark([(event.clientX - at.left) / at.width, (event.clientY - at.top) / at.height]);
    });
    this.pad.addEventListener("keydown", (event) => this.#key(event));
    for (const kind of ["focus", "blur"]) this.pad.addEventListener(kind, this.lay);
    this.box.addEventListener("close", () => about.closed());
  }

  /** Show the frame and wait for your touch. */
  open(frame) {
    const known = this.about.marks().marks.find((m) => m.kind === "card");
    const named = known && known.box;
    this.frame = frame;
    this.busy = false;
    this.drawn = named ? [{ kind: "card", box: named }] : [];
    this.at = named ? [(named[0] + named[2]) / 2, (named[1] + named[3]) / 2] : [0.5, 0.5];
    this.image.alt = frame.name;
    this.image.src = `/frames/${frame.id}/view.jpg`;
    this.said.textContent = named ? CARD.known : "";
    this.back.hidden = true;
    this.box.showModal();
    this.pad.focus();
    this.#lay();
  }

  #key(event) {
    const way = ARROWS[event.key];
    if (way) {
      const step = event.shiftKey ? FAR : STEP;
      this.at = this.at.map((v, k) => Math.min(1, Math.max(0, v + way[k] * step)));
      this.#lay();
      this.place();
    } else if (event.key === "Enter" && !event.repeat) this.mark(this.at);
    else return;
    event.preventDefault();
  }

  /** The card about this place: read, and written down when it is grey. */
  async mark(at) {
    if (this.busy) return;
    this.busy = true;
    this.at = at.map((v) => Math.min(1, Math.max(0, v)));
    this.said.textContent = CARD.reading;
    const { id, shot } = this.frame;
    try {
      /** @type {CardTouched & {said: string}} */
      const found =
        await ask(`/set/card/${id}?across=${this.at[0].toFixed(4)}&down=${this.at[1].toFixed(4)}`);
      const [x, y, w, h] = found.box;
      this.drawn = [{ kind: found.grey ? "card" : "changed", box: [x, y, x + w, y + h] }];
      if (found.grey) {
        await press("grey card", { shot, frame: id, box: found.box }, this.about.now().row);
        this.back.hidden = false;
      }
      this.said.textContent = found.grey ? CARD.marked(found.said) : found.said;
    } catch (error) { this.said.textContent = error.message; }
    this.busy = false;
    this.#lay();
    await this.about.refresh();
  }

  async #takeBack() {
    try {
      await takeBack(this.about.now().row);
      this.drawn = [];
      this.said.textContent = CARD.takenBack;
      this.back.hidden = true;
      this.pad.focus();
    } catch (error) { this.said.textContent = error.message; }
    this.#lay();
    await this.about.refresh();
  }

  #lay() {
    if (!this.box.open || !this.image.naturalWidth) return;
    const [x, y] = this.at;
    // a finger needs no cross
    const cross = this.pad.matches(":focus-visible") ? [{ kind: "cross", box: [x, y, x, y] }] : [];
    layMarks(this.svg, this.image, [...(this.drawn ?? []), ...cross], false);
  }
}

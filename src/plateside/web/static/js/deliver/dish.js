// Where the dish is in a picture: who says so, and the mark moved by drag, by keys or by numbers.
import { make } from "../core/dom.js";
import { markField } from "../core/save.js";
import { DISH } from "./words.js";

export class DishPlace {
  /**
   *   name     of the shot;  said  what is said while it moves, of your mark, of a guess
   *   hold(on) the mark is to be taken hold of, or let go
   *   put(box) the numbers say so;  again()  back to what was found
   */
  constructor({ name, said, hold, put, again }) {
    this.said = said;
    this.hold = hold;
    this.box = null;
    this.on = false;
    this.words = make("p", { class: "small soft dish-words" });
    this.move = make("button",
      { type: "button", class: "quiet", "aria-pressed": "false", onclick: () => this.#turn(!this.on) },
      DISH.move[0]);
    this.again = make("button", { type: "button", class: "quiet", hidden: true, onclick: again }, DISH.found);
    this.inputs = DISH.sides.map((_, n) => {
      const input = make("input",
        { id: `dish-${n}-${name}`, type: "number", min: 0, max: 100, step: 1, inputmode: "numeric" });
      input.addEventListener("change", () => {
        const value = Number(input.value);
        if (!this.box || !input.value || !Number.isFinite(value)) {
          if (this.box) input.value = String(Math.round(this.box[n] * 100));
          return;
        }
        const cell = input.parentElement, asked = this.box.map((v, at) => (at === n ? value / 100 : v)),
          other = n % 2;
        if (value < 0 || value > 100) { markField(cell, DISH.range); return; }
        put(asked);
        markField(cell, asked[other] + asked[other + 2] > 1.005 ? DISH.edge : "");
      });
      return input;
    });
    this.numbers = make("div",
      { class: "dish-numbers", role: "group", "aria-label": DISH.numbers(name), hidden: true },
      DISH.sides.map((words, n) => make("div", {},
        make("label", { for: this.inputs[n].id }, words), this.inputs[n])));
    this.element = make("div", { class: "dish-place", hidden: true },
      make("div", { class: "row" }, this.words, this.move, this.again), this.numbers);
  }

  /** What is known now; no box: nothing yet. */
  show(box, yours) {
    this.box = box;
    this.element.hidden = !box;
    if (!box) return;
    this.words.textContent = this.said[this.on ? "moving" : yours ? "yours" : "guess"];
    this.move.textContent = DISH.move[Number(this.on)];
    this.move.setAttribute("aria-pressed", String(this.on));
    this.again.hidden = !yours;
    this.numbers.hidden = !this.on;
    this.#fill();
  }

  /** While the mark is dragged. */
  moved(box) { this.box = box; this.#fill(); }

  /** What is being typed is left alone. */
  #fill() {
    for (const [n, input] of this.inputs.entries()) if (document.activeElement !== input) input.value =
      String(Math.round(this.box[n] * 100));
  }

  #turn(on) { this.on = on; this.hold(on); }
}

// The boards of a shot in numbers: which board, on which side, how far from the dish.
import { make } from "../core/dom.js";
import { say } from "../core/say.js";
import { FARTHEST, NEAREST } from "./sides.js";
import { BOARDS, PANEL } from "./words.js";

const metres = (value) => `${Number(value.toFixed(2))} m`;

export class BoardFields {
  /** boards: what stands where, and what changes it. @param {import("./boards.js").Boards} boards */
  constructor(boards) {
    this.boards = boards;
    this.place = make("div", { class: "stood" });
    this.drawn = "";
  }

  /** Another spot: its fields are made anew, whatever they look like. */
  forget() { this.drawn = ""; }

  /** The fields of the boards of the chosen shot; made anew only where other boards stand. */
  show() {
    const chosen = this.boards.chosen(), shots = this.boards.shots();
    const signature = JSON.stringify([this.boards.spot, chosen?.shot.name, shots.map(({ shot }) => shot.name),
      chosen?.shot.boards.length, this.boards.studio?.boards.map((b) => [b.name, b.width_m, b.height_m]),
      Boolean(this.boards.shoot)]);
    if (signature !== this.drawn) {
      this.drawn = signature;
      this.place.replaceChildren(...this.#fields(chosen, shots));
    }
    this.values();
  }

  #fields(chosen, shots) {
    const head = make("h3", {}, BOARDS.head);
    /** @type {(parts: string[], href?: string) => any[]} */
    const plan = ([before, words, after], href = "/plan#shots") =>
      [head, make("p", { class: "small soft" }, before, make("a", { href }, words), after)];
    if (!this.boards.shoot) return plan(BOARDS.toFix, "/studio/fix?which=shoot");
    if (!this.boards.shoot.shots.length) return plan(BOARDS.noShot);
    if (!chosen) return plan(BOARDS.noShotHere);
    const { shot, number } = chosen, parts = [head];
    if (shots.length > 1) {
      const select = make("select",
        { id: "boards-shot", onchange: (event) => this.boards.choose(event.target.value) },
        shots.map((each) => make("option", { value: each.shot.name, selected: each.shot.name === shot.name },
        each.shot.name)));
      parts.push(make("div", { class: "field" }, make("label", { for: "boards-shot" }, BOARDS.ofShot),
        select));
    } else parts.push(make("p", { class: "small soft" }, BOARDS.ofThisShot(shot.name)));
    parts.push(make("p", { class: "small soft" }, BOARDS.how));
    parts.push(...shot.boards.map((_, k) => this.#row(number, k)));
    if (!this.boards.studio.boards.length) parts.push(make("p", { class: "small soft" }, BOARDS.none));
    else parts.push(make("button",
      { type: "button", id: "stand-board", onclick: () => this.boards.add(number) }, BOARDS.add));
    return parts;
  }

  #row(number, k) {
    const placed = this.boards.shoot.shots[number].boards[k],
      board = this.boards.studio.boards.find((each) => each.name === placed.board),
      index = this.boards.studio.boards.indexOf(board);
    const put = (name) => async (event) => {
      const text = event.target.value, value = name === "distance_m"
        ? Number(text.trim().replace(",", ".")) : text;
      if (name === "distance_m" && !(value >= NEAREST && value <= FARTHEST)) {
        say(BOARDS.range(NEAREST, FARTHEST), null, 8000);
        this.values(true);
        return;
      }
      if (!await this.boards.put(["shots", number, "boards", k, name], value)) this.values(true);
    };
    const choice = (name, label, values) =>
      make("div", { class: "field" }, make("label", { for: `placed-${k}-${name}` }, label),
      make("select", { id: `placed-${k}-${name}`, onchange: put(name) },
      values.map(([value, words]) => make("option", { value }, words))));
    return make("div", { class: "fields", "data-board": k, role: "group", "aria-label": BOARDS.group(k + 1) },
      choice("board", BOARDS.board, this.boards.studio.boards.map((each) => [each.name, each.name])),
        choice("side", BOARDS.side, Object.entries(BOARDS.sides)),
      make("div", { class: "field" }, make("label", { for: `placed-${k}-distance_m` }, BOARDS.away),
        make("div", { class: "with-unit" },
        make("input", { id: `placed-${k}-distance_m`, inputmode: "decimal", autocomplete: "off",
        maxlength: 12, onchange: put("distance_m") }), make("span", { class: "unit" }, "m"))),
      make("p", { class: "mind small words", id: `placed-${k}-behind`, hidden: true }, BOARDS.behind()),
      make("div", { class: "row" }, board
        ? make("button", { type: "button", class: "quiet",
        onclick: () => this.boards.page.choose(["boards", index]) },
        `${metres(board.width_m)} × ${metres(board.height_m)}`) : null,
        make("button", { type: "button", class: "quiet",
          "aria-label": BOARDS.remove(placed.board), onclick: () => this.boards.remove(number, k) },
          PANEL.remove)));
  }

  /** The numbers as they are; what is being typed stays, unless `always`. */
  values(always = false) {
    const chosen = this.boards.chosen();
    if (!chosen) return;
    chosen.shot.boards.forEach((_, k) => {
      const placed = this.boards.placed(chosen.number, k);
      const behind = this.place.querySelector(`#placed-${k}-behind`);
      if (behind) behind.hidden = !this.boards.behind(chosen.number, k);
      for (const name of ["board", "side", "distance_m"]) {
        const input = this.place.querySelector(`#placed-${k}-${name}`);
        if (input && (always || input !== document.activeElement)) input.value = String(placed[name]);
      }
    });
  }
}

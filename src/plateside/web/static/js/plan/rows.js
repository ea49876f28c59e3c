// Steps of the recipe and channels: rows edited in place, moved by buttons and keys, taken away, added.
import { make } from "../core/dom.js";
import { ROW } from "./words.js";

/** A row's or a card's button: which is up, down or remove. */
export function rowAct(which, name, action, off = false) {
  const about = { "aria-label": ROW.label[which](name), "data-act": which, disabled: off };
  return make("button", { type: "button", class: "quiet small-act", ...about, onclick: action },
    ROW.words[which]);
}

/**
 * One row of fields with its buttons; `layout` and what is folded under `more` are [name, options].
 * @param {any} row
 */
export function row({ fields, table, array, number,
  total, name, layout, folded = [], more = "", unfolded = false, move, remove, kind }) {
  const path = [...array, number];
  const act = (which, action, off = false) => rowAct(which, name, action, off);
  const each = (wanted) => wanted.map(([field, options = {}]) => {
    const input = fields.make(table, field, path, options);
    input.classList.add(`of-${field}`);
    return input;
  });
  const element = make("li", { class: `edit-row ${kind}`, "data-item": `${array.join(".")}-${number}` },
    make("div", { class: "row-fields" }, ...each(layout)),
    make("div", { class: "row tools" }, act("up", () => move(-1), number === 0),
      act("down", () => move(1), number === total - 1), act("remove", remove)),
    folded.length ? make("details", { class: "row-more", open: unfolded },
      make("summary", {}, more), make("div", { class: "row-fields" }, ...each(folded))) : null);
  element.addEventListener("keydown", (event) => {
    if (!event.altKey || (event.key !== "ArrowUp" && event.key !== "ArrowDown")
      || event.target.closest("select")) return;
    event.preventDefault();
    const by = event.key === "ArrowUp" ? -1 : 1;
    if (number + by >= 0 && number + by < total) move(by);
  });
  return element;
}

/** A name that none of the items has: "shot-3"; `from`: the first number to try. */
export function freeName(items, stem, from = items.length + 1) {
  const taken = new Set(items.map((item) => item.name.toLowerCase()));
  let n = from;
  while (taken.has(`${stem}-${n}`)) n += 1;
  return `${stem}-${n}`;
}

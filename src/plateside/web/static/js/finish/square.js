// Something flat in the picture made square to it: its four corners on the frame as it was taken, by finger
// or keys, or the set card.
/** @import { FinishShown, ShotFinished } from "../core/facts" */
import { tell } from "../core/ask.js";
import { make } from "../core/dom.js";
import { sawRow } from "../core/live.js";
import { press, takeBack } from "../core/press.js";
import { say, trying } from "../core/say.js";
import { SAID, SQUARE } from "./words.js";

const START = [0.25, 0.25, 0.75, 0.25, 0.75, 0.75, 0.25, 0.75];
const STEP = 0.001, FAST = 10;

/**
 * The acts of one picture. `frame`: address of its frame as it was taken; `changed`: something was written.
 * @param {{ reply: FinishShown, shot: ShotFinished, frame: string, changed: () => void }} given
 */
export function square({ reply, shot, frame, changed }) {
  const undo = (row) => ({ words: SAID.undo, do: () => trying(async () => {
    await takeBack(row);
    changed();
  }) });
  const send = (corners, shape) => trying(async () => {
    const done = await tell("/finish/square", { shot: shot.name, corners, shape });
    sawRow(done.row);
    say(done.said, undo(done.row));
    changed();
  });
  const back = () => trying(async () => {
    const done = await press("square", { shot: shot.name, corners: [] }, reply.row);
    say(done.said, undo(done.row));
    changed();
  });
  const open = () => editor({ shot, frame, done: send });
  const button = (id, words, act) => make("button", { type: "button", id: `${shot.name}-${id}`, onclick: act },
    words);
  return make("div", { class: "square", role: "group", "aria-label": SQUARE.title },
    make("p", { class: "small soft" }, shot.square || SQUARE.what),
    make("div", { class: "row" },
      button("square", SQUARE.corners, open), button("square-card", SQUARE.card, () => send([], 0)),
      shot.square ? button("square-back", SQUARE.back, back) : ""));
}

/**
 * @typedef {(corners: number[], shape: number) => Promise<unknown>} Done
 * @param {{ shot: ShotFinished, frame: string, done: Done }} given
 */
function editor({ shot, frame, done }) {
  const at = [...(shot.corners.length ? shot.corners : START)];
  const image = make("img", { alt: SQUARE.frame(shot.name), draggable: "false" });
  image.src = frame;
  const lines = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  lines.setAttribute("viewBox", "0 0 1 1");
  lines.setAttribute("preserveAspectRatio", "none");
  const shape = document.createElementNS("http://www.w3.org/2000/svg", "polygon");
  lines.append(shape);
  const handles = SQUARE.names.map((name, n) => {
    const handle = make("button", { type: "button", class: "square-corner", "aria-describedby": "square-how" });
    handle.addEventListener("pointerdown", (event) => {
      if (event.button) return;
      handle.setPointerCapture(event.pointerId);
      event.preventDefault();
      handle.focus({ preventScroll: true });
    });
    handle.addEventListener("pointermove", (event) => {
      if (!handle.hasPointerCapture(event.pointerId)) return;
      const box = stage.getBoundingClientRect();
      put(n, (event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height);
    });
    handle.addEventListener("keydown", (event) => {
      const step = event.shiftKey ? STEP * FAST : STEP;
      const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
      if (!way || event.altKey || event.ctrlKey || event.metaKey) return;
      event.preventDefault();
      put(n, at[2 * n] + way[0] * step, at[2 * n + 1] + way[1] * step);
    });
    return { handle, name };
  });
  const stage = make("div", { class: "square-stage" }, image, lines, handles.map((h) => h.handle));
  function put(n, x, y) {
    at[2 * n] = Math.min(Math.max(x, 0), 1);
    at[2 * n + 1] = Math.min(Math.max(y, 0), 1);
    show();
  }
  function show() {
    shape.setAttribute("points", [0, 1, 2, 3].map((n) => `${at[2 * n]},${at[2 * n + 1]}`).join(" "));
    handles.forEach(({ handle, name }, n) => {
      handle.style.left = `${100 * at[2 * n]}%`;
      handle.style.top = `${100 * at[2 * n + 1]}%`;
      handle.setAttribute("aria-label", SQUARE.place(name, at[2 * n], at[2 * n + 1]));
    });
  }
  const known = make("select", { id: "square-shape" },
    SQUARE.shapes.map(([words, value]) => make("option", { value }, words)));
  const dialog = make("dialog", { class: "squaring", "aria-labelledby": "square-title" },
    make("h2", { id: "square-title" }, SQUARE.dialog(shot.name)),
    make("p", { class: "small soft", id: "square-how" }, SQUARE.how),
    stage,
    make("div", { class: "row" },
      make("label", { for: "square-shape" }, SQUARE.shape), known,
      make("button", { type: "button", class: "main", id: "square-do", onclick: () => {
        const chosen = Number(known.value);
        dialog.close();
        done(at.map((v) => Number(v.toFixed(5))), chosen);
      } }, SQUARE.do),
      make("button", { type: "button", onclick: () => dialog.close() }, SQUARE.cancel)));
  dialog.addEventListener("close", () => {
    dialog.remove();
    document.getElementById(`${shot.name}-square`)?.focus({ preventScroll: true });
  });
  document.body.append(dialog);
  show();
  dialog.showModal();
  handles[0].handle.focus();
}

// Something flat in the picture made square to it: its four corners on the frame as it was taken, by finger
// or keys, or the set card.
/** @import { FinishShown, ShotFinished } from "../core/facts" */
/** @import { Point } from "./corners.js" */
import { tell } from "../core/ask.js";
import { make } from "../core/dom.js";
import { sawRow } from "../core/live.js";
import { press, presses, takeBack } from "../core/press.js";
import { say, trying } from "../core/say.js";
import { corners } from "./corners.js";
import { SAID, SQUARE } from "./words.js";

const START = [0.25, 0.25, 0.75, 0.25, 0.75, 0.75, 0.25, 0.75];

/**
 * The acts of one picture. `frame`: address of its frame as it was taken; `changed`: something was written.
 * @param {{ reply: FinishShown, shot: ShotFinished, frame: string, changed: () => void }} given
 */
export function square({ reply, shot, frame, changed }) {
  const undo = (row) => ({ words: SAID.undo, do: () => trying(async () => {
    await takeBack(row);
    changed();
  }) });
  const send = (at, shape) => trying(async () => {
    const done = await presses.add(() => tell("/finish/square", { shot: shot.name, corners: at, shape }));
    sawRow(done.row);
    say(done.said, undo(done.row));
    changed();
  });
  const back = () => trying(async () => {
    const done = await press("square", { shot: shot.name, corners: [] }, reply.row);
    say(done.said, undo(done.row));
    changed();
  });
  const open = () => trying(() => editor({ shot, frame, done: send }));
  const button = (id, words, act) => make("button", { type: "button", id: `${shot.name}-${id}`, onclick: act },
    words);
  return make("div", { class: "square", role: "group", "aria-label": SQUARE.title },
    make("p", { class: "small soft" }, shot.square || SQUARE.what),
    make("div", { class: "row" },
      button("square", SQUARE.corners, open), button("square-card", SQUARE.card, () => send([], 0)),
      shot.square ? button("square-back", SQUARE.back, back) : ""));
}

/**
 * @typedef {(at: number[], shape: number) => Promise<unknown>} Done
 * @param {{ shot: ShotFinished, frame: string, done: Done }} given
 */
async function editor({ shot, frame, done }) {
  const at = shot.corners.length ? shot.corners : START;
  const points = SQUARE.names.map((_, n) => /** @type {Point} */ ([at[2 * n], at[2 * n + 1]]));
  const image = new Image();
  image.src = frame;
  await image.decode();
  const stage = corners({ src: frame, alt: SQUARE.frame(shot.name), wide: image.naturalWidth,
    high: image.naturalHeight, names: SQUARE.names, points });
  const known = make("select", { id: "square-shape" },
    SQUARE.shapes.map(([words, value]) => make("option", { value }, words)));
  const dialog = make("dialog", { class: "squaring", "aria-labelledby": "square-title" },
    make("h2", { id: "square-title" }, SQUARE.dialog(shot.name)),
    make("p", { class: "small soft" }, SQUARE.how),
    stage.element,
    make("div", { class: "row" },
      make("label", { for: "square-shape" }, SQUARE.shape), known,
      make("button", { type: "button", class: "main", id: "square-do", onclick: () => {
        const chosen = Number(known.value);
        dialog.close();
        done(stage.points().flat().map((v) => Number(v.toFixed(5))), chosen);
      } }, SQUARE.do),
      make("button", { type: "button", onclick: () => dialog.close() }, SQUARE.cancel)));
  dialog.addEventListener("close", () => {
    dialog.remove();
    document.getElementById(`${shot.name}-square`)?.focus({ preventScroll: true });
  });
  document.body.append(dialog);
  dialog.showModal();
  dialog.querySelector("button")?.focus();
}

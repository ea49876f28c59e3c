// All that the Choose page says by itself: of frames and shots, as they change under your presses.
import { plural } from "../core/words.js";

const PRESSED = { kept: "kept by you", again: "again, by you" };

/** What you said of a frame; empty: nothing yet. */
export const pressedWords = (pressed) => PRESSED[pressed] || "";

/** What a frame is in the place of its verdict. */
export const unjudged = (frame) => (frame.chart ? SAID.chart : SAID.notJudged);

/** What there is to say of a frame, for one who listens. */
export const frameWords = (frame, part) =>
  [frame.name, frame.word || unjudged(frame), part, pressedWords(frame.pressed)].filter(Boolean).join(", ");

/** Of the page and its sheets. */
export const SAID = {
  count: (frames, chosen, shots) =>
    frames ? `${plural(frames, "frame")}. You have a select for ${chosen} of ${plural(shots, "shot")}.`
      : SAID.nothing,
  nothing: "No frame has come in yet.",
  sheet: (frames, good, keptCount) =>
    (frames ? `${plural(frames, "frame")}, ${good} good, ${keptCount} kept by you` : ""),
  ofNoShot: ["without a shot", "Without a shot"],
  hidden: "None of its frames is among those you show.",
  noFrame: "No frame of this shot yet.",
  notJudged: "not judged",
  chart: "colour chart",
  notShown: "cannot be shown",
  marked: (words) => `${words}, marked to compare`,
};

/** Of the frame you are at. */
export const PANEL = {
  empty: "Choose a frame to see it here.",
  large: (name) => `${name}, as large as fits`,
  look: (name) => `${name}: look closely`,
  notJudged: "not judged yet",
  acts: { select: "Select", alternate: "Alternate",
    kept: "Keep", again: "Again", mark: "Mark", undo: "Undo", finish: "Finish it too" },
  more: ["More", "Less"],
  compare: (marked) => (marked > 1 ? `Compare ${marked} marked` : "Compare marked"),
  belongs: (count, guessed) =>
    count > 1 ? `The ${count} marked belong to` : guessed ? "Belongs to (a guess)" : "Belongs to",
  best: { best: "best of its burst", yours: "best of its burst, by you" },
  makeBest: "Best of its burst",
  judge: ["Being judged", "Judge again"],
  beingJudged: "Being judged.",
  chart: "This is a colour chart. If it is a picture, choose its shot first, below.",
  shotFirst: "This frame has no shot yet. Choose its shot first, below.",
  fourAtOnce: "You can compare four at once. Unmark one first.",
  compared: (frames) => `${frames} frames, the same part of each`,
};

/** Of what Plateside would choose. */
export const SUGGESTED = {
  ask: "Suggest selects",
  going: (done, total) => `Frame ${done} of ${total}`,
  done: "The suggestions are above each shot. Your choice always wins.",
  head: "Plateside suggests",
  pick: (kind, why) => ` as ${kind}: ${why}.`,
  take: "Take it",
  takeIt: (name, kind, shot) => `Take ${name} as ${kind} of ${shot}`,
  old: "Something changed here since you asked for a suggestion. Ask again.",
};

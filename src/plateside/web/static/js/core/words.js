// What every page can say by itself; what the server has found comes with its own words.
export const SAID = {
  noAnswer: "Plateside does not answer. Is it still running?",
  failed: (status) => `Plateside answered with error ${status}.`,
  stopped: "Stopped.",
  offSince: (clock, how) => `Not connected since ${clock}. If Plateside has ended: ${how} This page then comes back by itself.`,
  connected: "Connected again.",
  savedAfterAll: "Plateside answers again: your change is saved.",
  notSavedYet: "Not saved yet: Plateside does not answer. Leave this page open and start Plateside again at the laptop; then your change is saved by itself.",
};

/** Of long work: its button, how far it is. */
export const JOB = {
  begin: "Beginning …",
  waits: "Waiting for other work to finish …",
  stopping: "Stopping …",
  stop: "Stop",
  done: (done, total) => `${done} of ${total}`,
};

/** Of pictures side by side. */
export const COMPARE = {
  smaller: "Smaller (−)",
  larger: "Larger (+)",
  whole: ["Whole", "The whole picture (0)"],
  full: ["Full size", "Pixel for pixel (1)"],
  close: "Close",
  how: "Drag, scroll or pinch in one picture and all follow. Keys: arrows move, + and − zoom, 0 whole picture, 1 full size.",
  making: "Making the full size …",
  noLarger: "There is no larger picture of this frame.",
  scale: (times) => (times === 1 ? "whole" : `${times.toFixed(times < 10 ? 1 : 0)} times`),
  act: (act, name) => `${act}: ${name}`,
};

/** "1.2 MB", "340 kB" */
export function size(bytes) {
  return bytes >= 1e6 ? `${(bytes / 1e6).toFixed(1)} MB` : `${Math.max(1, Math.round(bytes / 1000))} kB`;
}

/** "1 file", "3 files" */
export const plural = (number, one) => `${number} ${one}${number === 1 ? "" : "s"}`;

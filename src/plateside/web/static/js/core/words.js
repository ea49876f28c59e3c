// What every page can say by itself; what the server has found comes with its own words.
export const SAID = {
  noAnswer: "Plateside does not answer. Is it still running?",
  failed: (status) => `Plateside answered with error ${status}.`,
  stopped: "Stopped.",
  offSince: (clock) => `Not connected since ${clock}. It comes back by itself.`,
  connected: "Connected again.",
  savedAfterAll: "Plateside answers again: your change is saved.",
  notSavedYet: "Not saved yet: Plateside does not answer. Leave this page open and start Plateside again at the laptop; then your change is saved by itself.",
};

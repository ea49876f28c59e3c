// What is known of the newest frame beside its pixels: asked once, for the page and for the close look.
/** @import { CloserFacts, SetScreen } from "../core/facts" */
import { ask } from "../core/ask.js";

let key = "";
/** @type {Promise<CloserFacts>} */
let asked = Promise.reject(new Error());
asked.catch(() => {});

/**
 * @param {SetScreen} now
 * @returns {Promise<CloserFacts>}
 */
export function factsOf({ frame, shots }) {
  if (!frame) return Promise.reject(new Error());
  // another test frame, or another shot, and what is known is another
  const of = `${frame.id} ${frame.shot} ${frame.test_frame} ${shots.find((s) => s.name === frame.shot)?.test_frame}`;
  if (of !== key) {
    key = of;
    asked = ask(`/set/closer/${frame.id}`);
    asked.catch(() => { if (key === of) key = ""; });
  }
  return asked;
}

// One line at the foot of the page for what was done or could not be.
import { make, one } from "./dom.js";
import { whenLetGo } from "./hold.js";
let timer = 0;

/**
 * Say a sentence; with an action a button stands beside it.
 * @param {string} words
 * @param {{words: string, do: () => unknown} | null} action
 */
export function say(words, action = null, ms = 5000) {
  const place = one("#say");
  place.replaceChildren(words,
    ...(action ? [" ", make("button", { class: "quiet", type: "button", onclick: () => {
    place.replaceChildren();
    action.do();
  } }, action.words)] : []));
  clearTimeout(timer);
  timer = setTimeout(() => whenLetGo(() => place.replaceChildren()), action ? 12000 : ms);
}

/** Run an action; what it could not do is said. */
export async function trying(action) {
  try {
    return await action();
  } catch (error) {
    if (error.name !== "AbortError") say(error.message, null, 9000);
    return undefined;
  }
}

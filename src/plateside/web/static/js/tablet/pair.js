// The tablet's side: the secret comes in the address's fragment, which is never sent, or is typed.
/** @import { LetIn } from "../core/facts" */
import { tell } from "../core/ask.js";
import { one } from "../core/dom.js";

async function pair(secret) {
  one("#told").textContent = "Pairing …";
  try {
    /** @type {LetIn} */
    const { to } = await tell("/pair", { secret, name: one("#name").value });
    location.replace(to);
  } catch (error) {
    one("#told").textContent = error.message;
  }
}

one("#pair").addEventListener("submit", (event) => { event.preventDefault(); pair(one("#secret").value); });
function look() {
  const secret = location.hash.slice(1);
  if (!secret) return;
  // out of the address line and the history before anything else happens
  history.replaceState(null, "", "/pair");
  pair(secret);
}

// a new code scanned where this page is already: the browser does not load it again
addEventListener("hashchange", look);
look();

// Coming in at this laptop: the key comes in the address's fragment, which is never sent.
/** @import { LetIn } from "../core/facts" */
import { tell } from "../core/ask.js";
import { one } from "../core/dom.js";

async function comeIn(key) {
  try {
    /** @type {LetIn} */
    const { to } = await tell("/desk", { key });
    if (to) location.replace(to);
  } catch (error) {
    one("#told").textContent = error.message;
  }
}

function look() {
  const key = location.hash.slice(1);
  // out of the address line and the history before anything else happens
  if (key) history.replaceState(null, "", "/desk");
  // without a key too: a page opened by a link from elsewhere comes without the cookie that this browser has
  comeIn(key);
}

// the address opened where this page is already: the browser does not load it again
addEventListener("hashchange", look);
look();

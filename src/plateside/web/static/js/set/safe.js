// What is on two disks: said at once when the second disk goes, and in full behind More.
/** @import { SafeShown } from "../core/facts" */
import { make, one } from "../core/dom.js";
import { say } from "../core/say.js";
import { SAFE } from "./words.js";

const lines = one("#safe-lines"), SAID_MS = 12000;
const CALM = ["ok", "starting", "none"];
let before = "";

/** The screen has come anew. @param {SafeShown | null} safe */
export function showSafe(safe) {
  const told = safe ? [...safe.lines, ...safe.card] : [SAFE.none], state = safe?.state || "none";
  lines.replaceChildren(...told.map((words) => make("p", {}, words)));
  one("#way-card").textContent = SAFE.card[Number(Boolean(safe?.card.length))];
  // a disk that is pulled is said once; what it is like stays to be read beside the frame
  if (safe && !CALM.includes(state) && state !== before) say(safe.lines[0], null, SAID_MS);
  before = state;
}

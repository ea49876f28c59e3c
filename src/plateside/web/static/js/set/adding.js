// Photographs added on the page: chosen or dropped, sent in parts, gone on with after a broken connection.
import { make, one } from "../core/dom.js";
import { dropped, hasFiles, sendFile } from "../core/sending.js";
import { ADDING } from "./words.js";

const AT_ONCE = 2, SHOWN_MS = 8000;
const input = one("#add-files"), line = one("#arriving"), notAdded = one("#not-added");
const waiting = [];
let sending = 0, total = 0, done = 0, refused = 0, last = "", timer = 0;

/** Add files one after another, the oldest first: that is the order in which they were taken. */
function add(files) {
  if (!files.length) return;
  if (!sending && !waiting.length) { total = done = refused = 0; last = ""; notAdded.replaceChildren(); }
  total += files.length;
  waiting.push(...[...files].sort((a, b) => a.lastModified - b.lastModified || a.name.localeCompare(b.name)));
  while (sending < AT_ONCE && waiting.length) next();
  show();
}

async function next() {
  const file = waiting.shift();
  if (!file) return;
  sending += 1;
  try {
    last = (await sendFile(file, "/set/add")).said;
    done += 1;
  } catch (error) {
    refused += 1;
    last = error.message;
    notAdded.append(make("li", {}, error.message));
  }
  sending -= 1;
  show();
  next();
}

function show() {
  clearTimeout(timer);
  line.hidden = false;
  line.dataset.done = done;
  line.dataset.total = total;
  line.dataset.refused = refused;
  line.replaceChildren(make("span", {}, ADDING.counted(done, total, refused)), make("span", { class: "unseen" }, ` ${last}`));
  line.classList.toggle("over", !sending);
  if (!sending && !refused) timer = setTimeout(() => { line.hidden = true; }, SHOWN_MS);
}

input.addEventListener("change", () => { add([...input.files]); input.value = ""; });
addEventListener("dragover", (event) => { if (hasFiles(event)) { event.preventDefault(); document.body.classList.add("over"); } });
addEventListener("dragleave", (event) => { if (!event.relatedTarget) document.body.classList.remove("over"); });
addEventListener("drop", async (event) => {
  document.body.classList.remove("over");
  if (!hasFiles(event)) return;
  event.preventDefault();
  add(await dropped(event.dataTransfer));
});
// what is on its way would stop; it goes on when the same files are added again
addEventListener("beforeunload", (event) => { if (sending) event.preventDefault(); });

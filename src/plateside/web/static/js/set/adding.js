// Photographs added on the page: chosen or dropped, sent in parts, gone on with after a broken connection.
import { isAway, serverBack, tell, tellBytes } from "../core/ask.js";
import { make, one } from "../core/dom.js";
import { ADDING } from "./words.js";

const PART_BYTES = 1_000_000, AT_ONCE = 2, SHOWN_MS = 8000;
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
    last = (await send(file)).said;
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

/** One file, from wherever it stopped; a server that is away is waited for. */
async function send(file) {
  for (let times = 0; ; times++) {
    try {
      let now = await tell("/set/add", { name: file.name, size: file.size, changed_ms: Math.round(file.lastModified) });
      while (!now.done) {
        const part = file.slice(now.have, now.have + PART_BYTES);
        now = await tellBytes(`/set/add/${now.key}?at=${now.have}&size=${file.size}`, part);
        times = 0;
      }
      return now;
    } catch (error) {
      // a file that was taken off its card meanwhile cannot be read: that is no broken connection
      if (!isAway(error)) throw error;
      await file.slice(0, 1).arrayBuffer();
      await serverBack(times);
    }
  }
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

/** The files of what was dropped; a folder gives what is in it. */
async function dropped(transfer) {
  const entries = [...transfer.items].map((item) => item.webkitGetAsEntry?.()).filter(Boolean);
  if (!entries.some((entry) => entry.isDirectory)) return [...transfer.files];
  return (await Promise.all(entries.map(within))).flat();
}

async function within(entry) {
  if (entry.isFile) return [await new Promise((resolve, reject) => { entry.file(resolve, reject); })];
  const reader = entry.createReader(), found = [];
  for (;;) {
    // a folder is listed in pieces, until a piece is empty
    const some = await new Promise((resolve, reject) => { reader.readEntries(resolve, reject); });
    if (!some.length) break;
    found.push(...some);
  }
  return (await Promise.all(found.filter((each) => !each.name.startsWith(".")).map(within))).flat();
}

input.addEventListener("change", () => { add([...input.files]); input.value = ""; });
const hasFiles = (event) => [...(event.dataTransfer?.types || [])].includes("Files");
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

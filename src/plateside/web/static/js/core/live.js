// The event stream: rows of the journal and news, and whether we are still connected.
import { whenLetGo } from "./hold.js";

const SILENT_MS = 8000;
const listeners = new Map();
/** The shoot that this page was drawn of: where another is open by now, the stream says so first. */
const drawnOf = document.querySelector('meta[name="plateside-shoot"]')?.getAttribute("content");
let source = null, lastHeard = 0, opened = 0, since = null, timer = 0, leaving = false;
/** The newest row that the page has seen, from wherever; the newest that the stream has brought. */
let lastRow = 0, heardRow = 0;

/**
 * Listen to a kind: row, connected, lost, or news that the server says beside the rows. Gives back a way to
 * stop.
 */
export function on(kind, action) {
  if (!listeners.has(kind)) { listeners.set(kind, new Set()); if (source) hear(kind); }
  listeners.get(kind).add(action);
  return () => listeners.get(kind).delete(action);
}

/** What is pressed meanwhile is about the rows seen so far. */
function pass(kind, data) {
  whenLetGo(() => {
    if (kind === "row") lastRow = Math.max(lastRow, data.n);
    for (const action of listeners.get(kind) || []) action(data);
  });
}

/** The number of the newest row this page has seen. */
export const seenRow = () => lastRow;

/** The page now shows everything up to this row (after a fetch that said so). */
export function sawRow(number) { lastRow = Math.max(lastRow, number); }

/** When the connection was lost, as a Date, or null. */
export const lostSince = () => since;

/** Follow from row `after` on. */
export function follow(after = 0) {
  lastRow = heardRow = after;
  open();
  clearInterval(timer);
  timer = setInterval(() => {
    if (Date.now() - lastHeard <= SILENT_MS) return;
    lose();
    // a busy laptop takes a while to answer: each try has its time, or none would ever be heard
    if (Date.now() - opened > SILENT_MS) open();
  }, 2000);
  // a tablet that slept comes back to an old stream
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden && Date.now() - lastHeard > 4000) open();
  });
}

/** That something came: we are connected. */
function heard() {
  lastHeard = Date.now();
  if (since) { since = null; pass("connected", null); }
}

/** Whatever a page listens to is heard of the stream: there is no second list of what the server may say. */
function hear(kind) {
  source.addEventListener(kind, (event) => {
    if (typeof event.data !== "string") return;
    heard();
    const data = JSON.parse(event.data);
    if (kind === "row") heardRow = Math.max(heardRow, data.n);
    pass(kind, data);
  });
}

function lose() {
  if (since) return;
  since = new Date(lastHeard || Date.now());
  pass("lost", since);
}

function open() {
  source?.close();
  opened = Date.now();
  // not from the newest row seen: a press answered meanwhile may have passed rows of other screens
  source = new EventSource(`/events?after=${heardRow}${drawnOf ? `&of=${drawnOf}` : ""}`);
  source.addEventListener("beat", heard);
  for (const kind of new Set(["row", ...listeners.keys()])) hear(kind);
  // a page that is being left loses its stream: nothing to tell, unless it stays after all
  source.onerror = () => {
    if (leaving) setTimeout(() => { if (source?.readyState !== EventSource.OPEN) lose(); }, 3000);
    else lose();
  };
  if (!lastHeard) lastHeard = Date.now();
}

export function stopFollowing() { source?.close(); clearInterval(timer); }
addEventListener("pagehide", stopFollowing);
addEventListener("beforeunload", () => { leaving = true; setTimeout(() => { leaving = false; }, 3000); });
addEventListener("pageshow", (event) => { if (event.persisted) follow(heardRow); });

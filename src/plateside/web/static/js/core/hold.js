// No press is lost to what the page draws: while a button, a link or a field is held down (by a pointer or by
// the space bar), what comes from elsewhere waits until the press has acted on what was seen.
const ONCE_PRESSED = ["button", "a[href]", "summary"].join();
const CAN_BE_HELD = [ONCE_PRESSED, "label", "select", "textarea", "input:not([type=range])", "[role=option]",
  "[data-held]"].join();
const BY_SPACE = ["button", "summary", "[type=checkbox]", "[type=radio]"].join();
/** A finger's click comes a while after it is up; a hand that rests on it keeps nothing back for ever. */
const TAP_MS = 300, LONGEST_MS = 10000;
/** No event tells that an open list of options was closed. */
const LOOK_MS = 1100, STILL_PX = 8, SPACE = -1;
const KNOWS_OPEN = CSS.supports("selector(:open)");

/**
 * By which pointer what is held, where it came down, and until when a list of options may be open.
 * @type {{by: number, element: Element, x: number, y: number, until: number} | null}
 */
let held = null;
let timer = 0;
/** @type {(() => unknown)[]} */
let waiting = [];

/** Act when nothing is held down: at once, or after the press, in turn. @param {() => unknown} action */
export function whenLetGo(action) { if (held) waiting.push(action); else action(); }

/** Resolves when nothing is held down. @type {() => Promise<void>} */
export const letGo = () => new Promise((resolve) => { whenLetGo(() => resolve()); });

/** @param {number} by @param {Element | null | undefined} element */
function hold(by, element, x = 0, y = 0) {
  if (!element) { release(); return; }
  held = { by, element, x, y, until: performance.now() + LONGEST_MS };
  releaseAfter(LONGEST_MS);
}

function releaseAfter(ms) {
  clearTimeout(timer);
  if (held) timer = setTimeout(release, ms);
}

/** Where the browser does not tell, a list that was pressed is open until it changes or loses the focus. */
const listIsOpen = () => (KNOWS_OPEN ? Boolean(document.querySelector("select:open"))
  : held?.element.matches("select") && held.element === document.activeElement && performance.now() < held.until);

function release() {
  if (!held) return;
  if (listIsOpen()) { releaseAfter(LOOK_MS); return; }
  clearTimeout(timer);
  held = null;
  const actions = waiting;
  waiting = [];
  for (const action of actions) queueMicrotask(action);
}

/** What slipped away under a still pointer (a line came in above it) was pressed all the same. */
function slipped({ element, x, y }, event) {
  if (event.pointerType !== "touch" && element.matches(ONCE_PRESSED) && !element.contains(event.target)
    && Math.hypot(event.clientX - x, event.clientY - y) < STILL_PX) element.click();
}

/** @type {(kind: string, action: (event: any) => unknown) => void} */
const hear = (kind, action) => addEventListener(kind, action, true);

hear("pointerdown", (event) => {
  if (event.isPrimary && !event.button) {
    hold(event.pointerId, event.target.closest?.(CAN_BE_HELD), event.clientX, event.clientY);
  }
});
hear("pointerup", (event) => {
  if (held?.by !== event.pointerId || !held) return;
  slipped(held, event);
  // the click comes first
  releaseAfter(event.pointerType === "touch" ? TAP_MS : 0);
});
hear("click", () => releaseAfter(0));
hear("change", (event) => {
  if (!held || event.target !== held.element) return;
  held.until = 0;
  releaseAfter(0);
});
hear("keydown", (event) => {
  const element = event.key === " " && !event.repeat && document.activeElement?.closest(BY_SPACE);
  if (element) hold(SPACE, element);
});
hear("keyup", (event) => { if (event.key === " " && held?.by === SPACE) releaseAfter(0); });
hear("pointercancel", release);
hear("blur", (event) => { if (event.target === window) release(); });
document.addEventListener("visibilitychange", release);
// dragged on; or let go of outside the window, where no event told of it
hear("pointermove", (event) => {
  if (held?.by === event.pointerId) releaseAfter(event.buttons ? LONGEST_MS : 0);
});

// Three sizes of letters, computed from how far away they are read and how dense the screen is; kept on this
// device.
// A capital of our letters is 0.7 of its font size. ISO 9241-303 asks for 16 minutes of arc at least; here
// 17, 22, and 37 to 44.
const MINUTES = { s: 16.7, m: 22.25, least: 37.1, l: 44 };
const CAPITAL = 0.7, NEAR_M = 0.6, SMALLEST_PX = 16, STEP = 0.95, KEPT = "plateside.set.screen";

export const screenNow = () => ({ ...guess(), ...storedScreen() });

function storedScreen() {
  try { return JSON.parse(localStorage.getItem(KEPT) ?? "null") || {}; } catch { return {}; }
}

/** Remember distance [m] and the screen's diagonal [inches] for this device. */
export function keepScreen(device) {
  try {
    localStorage.setItem(KEPT, JSON.stringify({ ...storedScreen(), ...device }));
  } catch { /* private window: for now only */ }
}

function guess() {
  const long = Math.max(screen.width, screen.height), short = Math.min(screen.width, screen.height);
  return { distance_m: 2, diagonal_in: short < 560 ? 6.1 : long < 1400 ? 10.9 : 14 };
}

/** css pixels in an inch of this screen: its diagonal in css pixels over its diagonal in inches. */
export const density = ({ diagonal_in }) => Math.hypot(screen.width, screen.height) / diagonal_in;

/** Font size [css px] of letters whose capitals fill so many minutes of arc. */
export function letters(minutes, distance_m, per_inch) {
  const high_m = 2 * distance_m * Math.tan(minutes / 60 / 2 * Math.PI / 180);
  return high_m / 0.0254 * per_inch / CAPITAL;
}

/** The three sizes and, for the sheet, the same angles at arm's length. */
export function sizes(device = screenNow()) {
  const px = density(device);
  const far = (minutes) => Math.round(letters(minutes, device.distance_m, px));
  const near = (minutes) =>
    Math.max(16, Math.round(letters(minutes, Math.min(NEAR_M, device.distance_m), px)));
  return { s: far(MINUTES.s), m: far(MINUTES.m),
    least: far(MINUTES.least), l: far(MINUTES.l), nearS: near(MINUTES.s), nearM: near(MINUTES.m) };
}

/**
 * Give the page its sizes: the word as large as it fits, the act in the middle size or else the small one. A
 * screen that
 * is too small for them gets all three smaller alike; returns from how far they are then read [m].
 * The line that notes your press stands only where it does not make the others much smaller: the press itself
 * tells it too.
 */
export function fit(main, word, act, noted) {
  const device = screenNow(), full = sizes(device), style = document.body.style;
  style.setProperty("--near-s", `${full.nearS}px`);
  style.setProperty("--near-m", `${full.nearM}px`);
  document.body.classList.toggle("flow", innerHeight < 280 || innerWidth < 340);
  const flow = document.body.classList.contains("flow");
  const most = flow ? Math.min(1, innerWidth / 9 / full.s) : 1;
  noted.hidden = !noted.textContent;
  let share = fitted(main, word, act, full, most);
  if (share < most && !noted.hidden) {
    noted.hidden = true;
    const without = fitted(main, word, act, full, most);
    if (share >= without * 0.9) {
      noted.hidden = false;
      share = fitted(main, word, act, full, share);
    } else share = without;
  }
  return device.distance_m * Math.min(1, share);
}

/**
 * The largest share of the full sizes, from `most` down, at which everything holds; the page then has those
 * sizes. Each look lays the page out anew: what does not hold with the smallest letters of a share holds
 * neither with its larger ones nor with those of a larger share, so the share is found by halving.
 */
function fitted(main, word, act, full, most) {
  const style = document.body.style, flow = document.body.classList.contains("flow");
  const shares = [most];
  for (let share = most; Math.round(full.s * share) > SMALLEST_PX;) shares.push(share *= STEP);
  const holdsWith = (share, small, large) => {
    const px = (size) => `${Math.max(SMALLEST_PX, Math.round(size * share))}px`;
    style.setProperty("--s", px(full.s));
    style.setProperty("--m", px(full.m));
    style.setProperty("--l", px(large));
    act.classList.toggle("small", small);
    return holds(main, word, act, flow);
  };
  if (holdsWith(most, false, full.l)) return most;
  let first = 0, last = shares.length - 1;
  while (first < last) {
    const middle = (first + last) >> 1;
    if (holdsWith(shares[middle], true, full.least)) last = middle;
    else first = middle + 1;
  }
  for (const small of [false, true]) {
    for (const large of [full.l, (full.l + full.least) / 2, full.least]) {
      if (holdsWith(shares[first], small, large)) return shares[first];
    }
  }
  return shares[first];
}

/** Whether everything holds as it is now, at the sizes that the page has. */
export const fitsBelow = (main, word, act) =>
  holds(main, word, act, document.body.classList.contains("flow"));

function holds(main, word, act, flow) {
  if (word.scrollWidth > word.clientWidth + 1 || act.scrollWidth > act.clientWidth + 1) return false;
  if (flow) return true;
  const presses = main.querySelector(".presses").getBoundingClientRect();
  if (presses.bottom > innerHeight + 1) return false;
  // what is said for a moment has a row of its own; the frame may be smaller for so long
  const said = main.querySelector(".say:not(:empty)");
  const floor = said && main.classList.contains("alone") ? said.getBoundingClientRect() : presses;
  for (const button of main.querySelectorAll(".presses button")) if (button.scrollWidth > button.clientWidth
    + 1) return false;
  const bottom = main.querySelector(".verdict").getBoundingClientRect().bottom;
  const state = main.querySelector(".state");
  const about = main.querySelector(".about"), look = main.querySelector(".look"),
    age = main.querySelector(".age");
  if (age.scrollWidth > age.clientWidth + 1) return false;
  // what is to be done is whole, also in the seconds in which something is said
  const todo = main.querySelector(".todo");
  if (todo.offsetParent && todo.scrollHeight > todo.clientHeight + 1) return false;
  if (about.offsetParent && run(age, main.querySelector("#light"))) return false;
  if (said && about.offsetParent) {
    const box = said.getBoundingClientRect();
    if (said.scrollHeight > said.clientHeight + 1) return false;
    for (const name of ["#shot", "#aside", "#light"]) {
      const line = main.querySelector(name).getBoundingClientRect();
      if (line.height && box.bottom > line.top + 1 && box.top < line.bottom - 1) return false;
    }
    // it stays as large as a target is
    const least = innerWidth < 560 ? 90 : Math.min(160, 0.2 * innerHeight);
    if (look.offsetParent && look.getBoundingClientRect().height < least) return false;
  }
  if (getComputedStyle(state).display === "contents") {
    const next = look.offsetParent ? look.getBoundingClientRect() : about.getBoundingClientRect();
    if (look.offsetParent && !said
      && next.height < (innerWidth < 560 ? 110 : Math.min(0.22 * innerHeight, 240))) return false;
    return bottom <= (look.offsetParent || about.offsetParent ? next.top : floor.top) + 1
      && Math.max(about.getBoundingClientRect().bottom, age.getBoundingClientRect().bottom) <= floor.top + 1;
  }
  // a letter that reaches below its line stays clear of the presses
  if (bottom > floor.top - 6) return false;
  return !about.offsetParent || (about.getBoundingClientRect().bottom <= floor.top + 1
    && (!look.offsetParent || said || look.getBoundingClientRect()
      .height >= Math.min(0.28 * innerHeight, 220)));
}

/**
 * Whether the words of two elements lie over each other, or stand so near in one line that they read as one.
 */
function run(one, other) {
  const lines = (element) => {
    const range = document.createRange();
    range.selectNodeContents(element);
    return [...range.getClientRects()].filter((r) => r.width > 0);
  };
  const gap = parseFloat(getComputedStyle(one).fontSize) * 0.6;
  return lines(one).some((a) => lines(other)
    .some((b) => a.left < b.right + gap && b.left < a.right
    + gap && a.top < b.bottom - 1 && b.top < a.bottom - 1));
}

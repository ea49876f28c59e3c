// The hand on the wheel: brightness, warmth, green to magenta, straightening, for one picture or the whole
// series.
/** @import { FinishShown, HandShown, ShotFinished } from "../core/facts" */
import { make } from "../core/dom.js";
import { latest } from "../core/latest.js";
import { press, takeBack } from "../core/press.js";
import { say, trying } from "../core/say.js";
import { HAND, SAID } from "./words.js";

const NAMES = /** @type {const} */ (["brighter_stops", "warmer_mired", "magenta_cc", "turned_degrees"]);
const STEPS = { brighter_stops: 0.05, warmer_mired: 1, magenta_cc: 1, turned_degrees: 0.1 };
/** @type {HandShown} */
const ZERO = { brighter_stops: 0, warmer_mired: 0, magenta_cc: 0, turned_degrees: 0 };
const places = (name) => (STEPS[name] < 1 ? 2 : 0);

/** Both together, within the limits. @type {(a: HandShown, b: HandShown, limits: HandShown) => HandShown} */
function both(a, b, limits) {
  const sum = { ...ZERO };
  for (const name of NAMES) sum[name] = Math.min(Math.max(a[name] + b[name], -limits[name]), limits[name]);
  return sum;
}

/**
 * Where the picture as it is set is made; `version`: of what (`preview_version`).
 * @type {(shot: string, hand: HandShown, version: string) => string}
 */
export function handAddress(shot, hand, version) {
  const values = NAMES.map((name) => [name, String(+hand[name].toFixed(3))]);
  const query = new URLSearchParams([...values, ["v", version]]);
  return `/finish/hand/${encodeURIComponent(shot)}.jpg?${query}`;
}

/** Shots whose controls speak of the whole series. @type {Set<string>} */
const ofSeries = new Set();

/** All that is set for a picture. @type {(reply: FinishShown, shot: ShotFinished) => HandShown} */
export const handOf = (reply, shot) => both(reply.series_hand, shot.hand, reply.limits);

/**
 * The controls of one picture. `after`: its finished image, which shows what is set; `changed`: something was
 * written down.
 * @param {{ reply: FinishShown, shot: ShotFinished, after: HTMLImageElement, changed: () => void }} given
 */
export function hand({ reply, shot, after, changed }) {
  const { limits } = reply;
  let own = { ...shot.hand }, series = { ...reply.series_hand }, whole = ofSeries.has(shot.name), drawn = "";
  const now = () => (whole ? series : own);
  const name = (what) => `${shot.name}-${what}`;

  const show = latest(async () => {
    const address = handAddress(shot.name, both(own, series, limits), shot.preview_version);
    if (address === drawn) return;
    drawn = address;
    const image = new Image();
    image.src = address;
    try { await image.decode(); } catch { say(HAND.notShown); return; }
    after.src = image.src;
  });
  const rows = NAMES.map((what) => {
    const out = make("output", { for: name(what) });
    const input = make("input", { type: "range", "data-held": true, id: name(what), min: -limits[what], max: limits[what],
      step: STEPS[what] });
    input.addEventListener("input", () => { now()[what] = Number(input.value); words(); show(); });
    input.addEventListener("change", () => write());
    return { what, input, out, row: make("div", { class: "wheel" },
      make("label", { for: name(what) }, HAND.names[what]), input, out) };
  });
  function words() {
    for (const { what, input, out } of rows) {
      const value = now()[what], said = HAND.said[what](value, Math.abs(value).toFixed(places(what)));
      out.textContent = said;
      input.setAttribute("aria-valuetext", said);
    }
    zero.disabled = NAMES.every((what) => now()[what] === 0);
  }
  function place() {
    for (const { what, input } of rows) input.value = String(now()[what]);
    words();
  }
  const write = () => trying(async () => {
    const done = await press("look", { shot: whole ? "" : shot.name, ...now() }, reply.row);
    say(done.said, { words: SAID.undo, do: () => trying(async () => {
      await takeBack(done.row);
      changed();
    }) });
    changed();
  });
  const zero = make("button", { type: "button", class: "quiet", onclick: () => {
    if (whole) series = { ...ZERO };
    else own = { ...ZERO };
    place();
    show();
    write();
  } }, HAND.zero);
  const scope = ["picture", "series"].map((which) => make("label", {},
    make("input", { type: "radio", name: name("scope"), value: which, checked: whole === (which === "series"),
      id: name(which), onchange: () => {
        whole = which === "series";
        ofSeries[whole ? "add" : "delete"](shot.name);
        place();
      } }), " ", HAND.scope[which]));
  const box = make("fieldset", { class: "hand" }, make("legend", {}, HAND.title),
    make("div", { class: "row" }, scope), rows.map((r) => r.row), make("div", { class: "row" }, zero));
  place();
  return box;
}

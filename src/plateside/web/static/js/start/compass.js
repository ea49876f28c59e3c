// A compass that is turned to the way a window looks: by dragging, by keys, by buttons, by a number.
import { draw, make } from "../core/dom.js";
import { COMPASS } from "./words.js";

const WINDS = ["north", "north-north-east", "north-east", "east-north-east", "east", "east-south-east",
  "south-east", "south-south-east", "south", "south-south-west",
  "south-west", "west-south-west", "west", "west-north-west", "north-west", "north-north-west"];
/** @type {[string, number][]} */
const POINTS = [["N", 0], ["NE", 45], ["E", 90],
  ["SE", 135], ["S", 180], ["SW", 225], ["W", 270], ["NW", 315]];
const TILT_DEG = 23.44;

/** A bearing in words: 20 is "north-north-east". */
export const wind = (deg) => WINDS[Math.round((((deg % 360) + 360) % 360) / 22.5) % 16];

const on = (bearing, r) => [Math.sin(bearing * Math.PI / 180) * r, -Math.cos(bearing * Math.PI / 180) * r];
const at = (bearing, r) => on(bearing, r).map((v) => v.toFixed(2)).join(" ");

/**
 * Bearing of sunrise [deg] at a declination; null when the sun does not rise, 0 when it does not set (flat
 * horizon).
 */
export function sunriseBearing(latitude, declination) {
  const rad = Math.PI / 180, share = Math.sin(declination * rad) / Math.cos(latitude * rad);
  if (Math.abs(share) >= 1) return latitude * declination > 0 ? 0 : null;
  return Math.acos(share) / rad;
}

/** The part of the ring that the sun passes over on the longest or shortest day, as an SVG path. */
function sunPath(latitude, declination, r) {
  const rise = sunriseBearing(latitude, declination);
  if (rise === null) return "";
  if (rise === 0) return `M ${at(0, r)} A ${r} ${r} 0 1 1 ${at(180, r)} A ${r} ${r} 0 1 1 ${at(0, r)}`;
  // overhead suns cross the pole's side of the sky
  const bySouth = latitude > declination;
  const half = bySouth ? 180 - rise : rise;
  const [from, to] = bySouth ? [rise, 360 - rise] : [360 - rise, rise];
  return `M ${at(from, r)} A ${r} ${r} 0 ${half * 2 > 180 ? 1 : 0} 1 ${at(to, r)}`;
}

/**
 * Fill `place` with a compass. turned(deg) is called with every change (whole degrees), done(deg) when a turn
 * ends.
 * Gives back { set(deg), setLatitude(deg), wrong() }: wrong while what stands in the number's field is none.
 */
export function compass(place,
  { id, value = 0, latitude = null, label, turned = (_degrees) => {}, done = (_degrees) => {} }) {
  let deg = value, turning = false, at0 = value;
  const layers = { arrow: draw("g"), sun: draw("g") };
  const svg = draw("svg", { viewBox: "-120 -120 240 240", "aria-hidden": "true", focusable: "false" },
    draw("circle", { r: 86, fill: "var(--card)", stroke: "var(--hairline)", "stroke-width": 1.5 }), layers.sun,
    ...POINTS.map(([words, bearing]) =>
      draw("text", { x: on(bearing, 104)[0], y: on(bearing, 104)[1] + 5, "text-anchor": "middle",
      "font-size": words === "N" ? 17 : 13, "font-weight": words === "N" ? 600 : 400,
      fill: words.length > 1 ? "var(--soft)" : "var(--ink)" }, words)),
    ...Array.from({ length: 36 }, (_, n) =>
      draw("path", { d: `M ${at(n * 10, 86)} L ${at(n * 10, n % 9 ? 82 : 76)}`,
      stroke: "var(--soft)", "stroke-width": 1 })),
    layers.arrow);
  layers.arrow.append(
    draw("path", { d: "M -52 6 H -27 M 27 6 H 52 M -52 6 V 46 H 52 V 6",
      fill: "none", stroke: "var(--ink)", "stroke-width": 3 }),
    draw("path", { d: "M -27 6 H 27", stroke: "var(--accent)", "stroke-width": 6 }),
    draw("path", { d: "M 0 30 V -66 M -13 -51 L 0 -68 L 13 -51", fill: "none",
      stroke: "var(--accent)", "stroke-width": 4, "stroke-linejoin": "round", "stroke-linecap": "round" }));
  const ring = make("div",
    { class: "turn-ring", id, role: "slider", tabindex: 0,
    "aria-label": label, "aria-valuemin": 0, "aria-valuemax": 359 }, svg);
  const words = make("p", { class: "turn-words", "aria-hidden": "true" });
  const number = make("input",
    { id: `${id}-number`, inputmode: "decimal", autocomplete: "off", "aria-describedby": `${id}-said` });
  const said = make("p", { class: "turn-said small", id: `${id}-said`, role: "status" });
  let unread = false;
  const points = make("div", { class: "turn-points", role: "group", "aria-label": COMPASS.points },
    POINTS.map(([short, bearing]) =>
      make("button", { type: "button", "aria-label": wind(bearing), onclick: () => {
      turn(bearing);
      done(deg);
    } }, short)));
  place.append(make("div", { class: "turn" }, ring, words, points,
    make("label", { for: `${id}-number` }, COMPASS.degrees),
      make("div", { class: "with-unit" }, number, make("span", { class: "unit" }, "°")), said));

  function show() {
    layers.arrow.setAttribute("transform", `rotate(${deg})`);
    ring.setAttribute("aria-valuenow", Math.round(deg));
    ring.setAttribute("aria-valuetext", COMPASS.now(Number(deg.toFixed(1)), wind(deg)));
    words.textContent = `${wind(deg)[0].toUpperCase()}${wind(deg).slice(1)}, ${Number(deg.toFixed(1))}°`;
    if (document.activeElement !== number) number.value = String(Number(deg.toFixed(1)));
  }
  function turn(to) {
    unread = false;
    said.textContent = "";
    number.removeAttribute("aria-invalid");
    deg = ((to % 360) + 360) % 360;
    show();
    turned(deg);
  }
  function setLatitude(to) {
    layers.sun.replaceChildren();
    if (to === null) return;
    // the paths are circles about the middle, told apart by their radius
    const long = Math.sign(to || 1) * TILT_DEG;
    for (const [declination, r, wide] of [[long, 66, 8], [-long, 54, 8]]) {
      const path = sunPath(to, declination, r);
      if (path) layers.sun.append(
        draw("path", { d: path, fill: "none", stroke: "var(--sun)", "stroke-width": wide,
        "stroke-linecap": "round", "stroke-opacity": declination === long ? 0.95 : 0.55 }));
    }
  }
  const bearingAt = (event) => {
    const box = ring.getBoundingClientRect();
    return Math.atan2(event.clientX - box.x - box.width / 2,
      -(event.clientY - box.y - box.height / 2)) * 180 / Math.PI;
  };
  ring.addEventListener("pointerdown", (event) => {
    turning = true; at0 = deg;
    ring.setPointerCapture(event.pointerId);
    turn(Math.round(bearingAt(event)));
  });
  ring.addEventListener("pointermove", (event) => { if (turning) turn(Math.round(bearingAt(event))); });
  const end = () => { if (turning) { turning = false; if (deg !== at0) done(deg); } };
  ring.addEventListener("pointerup", end);
  ring.addEventListener("pointercancel", () => { if (turning) { turning = false; turn(at0); } });
  ring.addEventListener("keydown", (event) => {
    const step = event.shiftKey ? 10 : 1;
    const by = { ArrowRight: step, ArrowUp: step,
      ArrowLeft: -step, ArrowDown: -step, PageUp: 15, PageDown: -15 }[event.key];
    if (by !== undefined) turn(Math.round(deg) + by);
      else if (event.key === "Home") turn(0); else if (event.key === "End") turn(180); else return;
    event.preventDefault();
  });
  ring.addEventListener("keyup", (event) => { if (/^(Arrow|Page|Home|End)/.test(event.key)) done(deg); });
  number.addEventListener("input", () => {
    const plain = number.value.trim().replace(",", ".").replace("\u2212", "-").replace(/\s*°$/, ""),
      read = plain === "" ? NaN : Number(plain);
    if (Math.abs(read) <= 360) turn(read);
    else { unread = true; number.setAttribute("aria-invalid", "true"); }
    // what is taken otherwise than it was written is said; what is more than a whole turn is a slip of the
    // hand
    said.textContent = unread ? (Number.isFinite(read) ? COMPASS.tooMuch(number.value.trim()) : "")
      + COMPASS.form : read < 0 ? COMPASS.turned(Number(deg.toFixed(1))) : "";
  });
  number.addEventListener("change", () => {
    if (unread) return;
    number.value = String(Number(deg.toFixed(1)));
    done(deg);
  });
  show();
  setLatitude(latitude);
  return { set(to) { if (!turning && to !== deg) { deg = to; show(); } }, setLatitude, wrong: () => unread };
}

// The plan to scale: everything that stands in the room can be taken hold of, by pointer or by keys.
import { draw } from "../core/dom.js";
import { alongWall, cm, freeMiddle, frontBearing, inward, leftEdge, onWall, same, thingAt, turn, wallLength, wallOf, within } from "./room.js";
import { PLAN } from "./words.js";

const INK = "#23211e", SOFT = "#635d55", HAIR = "#d9d2c7", ACCENT = "#2f6f63", SUN = "#f3c969", CARD = "#fffdf9";
const WALL = 9;
const metres = (value) => `${Number(value.toFixed(2))} m`;

/**
 * A plan in `place`.
 *   chosen(path)          a thing was taken hold of
 *   moving(path, values)  it is somewhere else for now (values: field names and numbers)
 *   moved(path)           it was let go of
 *   dropped()             the move was given up
 *   removed(path)         Delete was pressed
 */
export class Plan {
  constructor(place, told) {
    Object.assign(this, { place, told, studio: null, path: null, held: null, round: () => [] });
    this.svg = draw("svg", { class: "plan", role: "group", "aria-label": PLAN.how });
    place.append(this.svg);
    new ResizeObserver(() => { if (this.studio && !this.held) this.#draw(); }).observe(place);
    this.svg.addEventListener("pointermove", (event) => this.#drag(event));
    this.svg.addEventListener("pointerup", (event) => this.#release(event));
    this.svg.addEventListener("pointercancel", () => this.#giveUp());
    // a finger on a thing moves it, never the page: touch-action alone is lost when the thing is drawn anew
    this.svg.addEventListener("touchstart", (event) => { if (event.touches.length === 1 && event.target.closest(".thing")) event.preventDefault(); }, { passive: false });
    this.svg.addEventListener("keydown", (event) => this.#key(event));
  }

  show(studio, path) {
    this.studio = studio;
    this.path = path;
    this.#draw();
  }

  /** A place of the room [m] as a place in the drawing. */
  at([x, y]) { return [this.#x(x), this.#y(y)]; }
  #x(metres) { return this.edge.left + metres * this.scale; }
  #y(metres) { return this.edge.front + metres * this.scale; }

  /** Room left around the walls [px]: more where something stands outside. */
  #edges(wide) {
    const small = wide < 560, far = small ? 54 : 74;
    const outside = new Set(this.studio.windows.filter((w) => w.opposite.length).map((w) => wallOf(this.studio, w)));
    const windows = new Set(this.studio.windows.map((w) => wallOf(this.studio, w)));
    const edge = (wall, least) => (outside.has(wall) ? far + 34 : windows.has(wall) ? Math.max(least, small ? 40 : 56) + (wall === "right" ? 22 : 0) : least);
    this.far = far;
    this.small = small;
    this.edge = { front: edge("front", 56), left: edge("left", small ? 16 : 60), right: edge("right", 76), back: edge("back", 0) + 78 };
  }

  #draw() {
    const { room } = this.studio;
    const wide = this.place.clientWidth || 600, high = Math.max(360, Math.min(innerHeight * 0.76, 800));
    this.#edges(wide);
    const { edge } = this;
    this.scale = Math.max(16, Math.min((wide - edge.left - edge.right) / room.width_m, (high - edge.front - edge.back) / room.depth_m));
    const width = room.width_m * this.scale + edge.left + edge.right, height = room.depth_m * this.scale + edge.front + edge.back;
    for (const [name, value] of [["viewBox", `0 0 ${width} ${height}`], ["width", width], ["height", height]]) this.svg.setAttribute(name, value);
    const focused = this.svg.contains(document.activeElement) ? document.activeElement.closest("[data-path]")?.dataset.path : null;
    const s = this.studio;
    this.svg.replaceChildren(
      ...this.#floor(),
      ...s.windows.map((w) => this.#glow(w)),
      ...s.windows.flatMap((w, n) => w.opposite.map((each, k) => this.#outside(w, each, ["windows", n, "opposite", k]))),
      ...s.furniture.map((b, n) => this.#block(b, ["furniture", n])),
      ...s.spots.map((p, n) => this.#spot(p, ["spots", n])),
      // where a handle and a window meet, it is the window that is taken hold of
      this.#sizer("width_m"), this.#sizer("depth_m"), ...s.windows.map((w, n) => this.#window(w, ["windows", n])), this.#north(width), ...this.#ruler(height));
    this.#lift();
    this.svg.append(...this.#measures(), ...this.round());
    // the chosen thing's name stays readable over the lines that meet in it
    for (const name of this.svg.querySelectorAll(".thing.on:not(.sizer)>.name")) { const over = name.cloneNode(true); over.setAttribute("aria-hidden", "true"); over.setAttribute("class", "name over"); this.svg.append(over); }
    if (focused) this.svg.querySelector(`[data-path="${CSS.escape(focused)}"]`)?.focus({ preventScroll: true });
  }

  #thing(path, words, parts, more = {}) {
    const key = JSON.stringify(path), on = same(path, this.path);
    return draw("g", {
      class: `thing${on ? " on" : ""}`, "data-path": key, tabindex: 0, role: "button", "aria-pressed": String(on), "aria-label": words, ...more,
      onpointerdown: (event) => this.#take(event, path),
      onfocus: () => { if (!same(path, this.path)) this.told.chosen(path); },
      onclick: () => { if (!same(path, this.path)) this.told.chosen(path); },
    }, parts);
  }

  #floor() {
    const { room } = this.studio, { left, front } = this.edge, w = room.width_m * this.scale, d = room.depth_m * this.scale;
    const floor = draw("rect", { x: left, y: front, width: w, height: d, fill: CARD, onclick: () => this.told.chosen(["room"]) });
    const walls = draw("path", { d: `M ${left - WALL} ${front - WALL} h ${w + 2 * WALL} v ${d + 2 * WALL} h ${-w - 2 * WALL} Z M ${left} ${front} v ${d} h ${w} v ${-d} Z`, fill: INK, "fill-rule": "evenodd" });
    const inside = draw("clipPath", { id: "inside-the-room" }, draw("rect", { x: left, y: front, width: w, height: d }));
    return [floor, walls, inside];
  }

  /** What is chosen lies on top of what stands in its place; the order of the keys stays. */
  #lift() {
    const on = this.svg.querySelector(".thing.on:not(.sizer)");
    if (!on) return;
    const copy = on.cloneNode(true);
    for (const name of ["tabindex", "role", "aria-pressed", "aria-label", "data-path", "class"]) copy.removeAttribute(name);
    copy.setAttribute("class", "on");
    copy.setAttribute("aria-hidden", "true");
    copy.setAttribute("pointer-events", "none");
    this.svg.append(copy);
  }

  /** Where a window's light falls first. */
  #glow(w) {
    const wall = wallOf(this.studio, w), left = leftEdge(this.studio, w), [ix, iy] = inward(wall);
    const [a, b] = [left, left + w.width_m].map((along) => onWall(this.studio, wall, along)).map((point) => this.at(point));
    const deep = 1.5 * this.scale, spread = 0.35 * this.scale, sign = iy ? Math.sign(b[0] - a[0]) : Math.sign(b[1] - a[1]);
    const [p, q] = [[a, -1], [b, 1]].map(([end, side]) => [end[0] + ix * deep + (iy ? side * sign * spread : 0), end[1] + iy * deep + (ix ? side * sign * spread : 0)]);
    return draw("path", { d: `M ${a} L ${b} L ${q} L ${p} Z`, fill: SUN, "fill-opacity": 0.16, "pointer-events": "none", "clip-path": "url(#inside-the-room)" });
  }

  #window(w, path) {
    const wall = wallOf(this.studio, w), left = leftEdge(this.studio, w), [ix, iy] = inward(wall);
    const [a, b] = [left, left + w.width_m].map((along) => onWall(this.studio, wall, along)).map((point) => this.at(point));
    const out = [-ix * WALL, -iy * WALL], middle = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
    const on = same(path, this.path);
    const sheets = this.studio.diffusers.filter((d) => d.window === w.name);
    const hung = sheets.map((_, n) => draw("path", { d: wave([a[0] + ix * (9 + 6 * n), a[1] + iy * (9 + 6 * n)], [b[0] + ix * (9 + 6 * n), b[1] + iy * (9 + 6 * n)]), fill: "none", stroke: SOFT, "stroke-width": 1.4 }));
    const grip = draw("rect", { x: Math.min(a[0], b[0]) - 14, y: Math.min(a[1], b[1]) - 14, width: Math.abs(a[0] - b[0]) + 28, height: Math.abs(a[1] - b[1]) + 28, fill: "transparent" });
    const glass = draw("path", { class: "edge", d: `M ${a} L ${b} l ${out} L ${[a[0] + out[0], a[1] + out[1]]} Z`, fill: "#faf7f2", stroke: on ? ACCENT : INK, "stroke-width": on ? 3 : 1.5 });
    const pane = draw("path", { d: `M ${[a[0] + out[0] / 2, a[1] + out[1] / 2]} L ${[b[0] + out[0] / 2, b[1] + out[1] / 2]}`, stroke: on ? ACCENT : SOFT, "stroke-width": 1.2 });
    // along its wall, so that it is beside no measure
    const name = label(w.name, middle[0] + out[0] * 2, middle[1] + (iy > 0 ? -18 : iy < 0 ? 26 : 4));
    if (ix) name.setAttribute("transform", `rotate(${90 * -ix} ${middle[0] + out[0] * 2} ${middle[1]})`);
    return this.#thing(path, PLAN.window(w.name, metres(left), wall, metres(w.width_m), sheets.map((d) => d.name)), [grip, glass, pane, ...hung, name]);
  }

  #spot(p, path) {
    const on = same(path, this.path), x = this.#x(p.from_left_m), y = this.#y(p.from_front_m), { room } = this.studio;
    const left = this.#x(Math.max(0, p.from_left_m - p.table_width_m / 2)), right = this.#x(Math.min(room.width_m, p.from_left_m + p.table_width_m / 2));
    const top = this.#y(Math.max(0, p.from_front_m - p.table_depth_m / 2)), low = this.#y(Math.min(room.depth_m, p.from_front_m + p.table_depth_m / 2));
    return this.#thing(path, PLAN.spot(p.name, metres(p.from_left_m), metres(p.from_front_m)), [
      draw("rect", { class: "edge", x: left, y: top, width: right - left, height: low - top, rx: 2, fill: "#ffffff", "fill-opacity": 0.75, stroke: on ? ACCENT : INK, "stroke-width": on ? 2.5 : 1.3 }),
      draw("circle", { cx: x, cy: y, r: Math.max(9, 0.13 * this.scale), fill: CARD, stroke: on ? ACCENT : INK, "stroke-width": 1.3 }), draw("circle", { cx: x, cy: y, r: Math.max(5, 0.08 * this.scale), fill: "none", stroke: on ? ACCENT : SOFT, "stroke-width": 1 }),
      ...this.#fitting(p.name, x, Math.min(low - 7, y + Math.max(9, 0.13 * this.scale) + 16), right - left, on)]);
  }

  #block(b, path) {
    const on = same(path, this.path), x = this.#x(b.from_left_m), y = this.#y(b.from_front_m), w = b.width_m * this.scale, d = b.depth_m * this.scale;
    return this.#thing(path, PLAN.block(b.name, metres(b.from_left_m), metres(b.from_front_m), metres(b.height_m)), [
      draw("rect", { x: x - 6, y: y - 6, width: w + 12, height: d + 12, fill: "transparent" }),
      draw("rect", { class: "edge", x, y, width: w, height: d, fill: HAIR, "fill-opacity": 0.6, stroke: on ? ACCENT : SOFT, "stroke-width": on ? 2.5 : 1.3 }),
      draw("path", { d: `M ${x} ${y} L ${x + w} ${y + d} M ${x + w} ${y} L ${x} ${y + d}`, stroke: SOFT, "stroke-width": 0.6 }),
      ...this.#fitting(b.name, x + w / 2, y + d / 2 + 4, w, on)]);
  }

  /** A name where there is room for it; on a small screen only then. */
  #fitting(name, x, y, room, on) { return on || !this.small || name.length * 7 < room + 10 ? [label(name, x, y, "middle", true)] : []; }

  /** What stands outside: where it stands by its bearings, not to scale. */
  #outside(w, each, path) {
    const on = same(path, this.path), wall = wallOf(this.studio, w), at = onWall(this.studio, wall, leftEdge(this.studio, w) + w.width_m / 2);
    const [cx, cy] = [this.#x(at[0]), this.#y(at[1])], front = frontBearing(this.studio), r = this.far;
    // only what is in front of this glass is drawn; behind the wall nothing is seen
    const half = 88, off = (bearing) => within(((bearing - w.bearing_deg + 540) % 360) - 180, -half, half);
    const from = w.bearing_deg + off(each.bearing_from_deg), to = w.bearing_deg + off(each.bearing_to_deg);
    const point = (bearing, radius) => { const a = (bearing - front) * Math.PI / 180; return [cx + Math.sin(a) * radius, cy - Math.cos(a) * radius]; };
    const arc = (radius) => `M ${point(from, radius)} A ${radius} ${radius} 0 0 1 ${point(to, radius)}`;
    const middle = point((from + to) / 2, r + 17);
    return this.#thing(path, PLAN.outside(each.name, w.name, Math.round(each.bearing_from_deg), Math.round(each.bearing_to_deg), metres(each.distance_m)), [
      draw("path", { d: arc(r), fill: "none", stroke: "transparent", "stroke-width": 30 }),
      draw("path", { class: "edge", d: arc(r), fill: "none", stroke: on ? ACCENT : SOFT, "stroke-width": on ? 9 : 7, "stroke-opacity": on ? 1 : 0.55 }),
      ...(on ? [["bearing_from_deg", from], ["bearing_to_deg", to]].map(([end, bearing]) => draw("circle", { cx: point(bearing, r)[0], cy: point(bearing, r)[1], r: 10, fill: CARD, stroke: ACCENT, "stroke-width": 2, "data-end": end })) : []),
      label(`${each.name || "outside"}, ${metres(each.distance_m)}`, middle[0], middle[1])]);
  }

  /** The right or the back wall as a handle. */
  #sizer(field) {
    const { room } = this.studio, right = field === "width_m", wall = right ? "right" : "back";
    const [x, y] = this.at(onWall(this.studio, wall, freeMiddle(this.studio, wall, 68 / this.scale)));
    const by = right ? [x + WALL / 2, y] : [x, y + WALL / 2], path = ["room", field];
    return this.#thing(path, PLAN.wall(right, metres(room[field])), [
      draw("rect", { x: by[0] - (right ? 22 : 34), y: by[1] - (right ? 34 : 22), width: right ? 44 : 68, height: right ? 68 : 44, fill: "transparent" }),
      draw("rect", { class: "edge", x: by[0] - (right ? 5 : 18), y: by[1] - (right ? 18 : 5), width: right ? 10 : 36, height: right ? 36 : 10, rx: 5, fill: CARD, stroke: same(path, this.path) ? ACCENT : INK, "stroke-width": 1.5 })], { class: `thing sizer${right ? " wide" : ""}` });
  }

  #measures() {
    const { room } = this.studio, parts = [];
    const { left: x0, front: y0, right, back } = this.edge;
    const across = this.#y(room.depth_m) + back - 42, down = this.#x(room.width_m) + right - 54;
    parts.push(...chain([x0, across], [this.#x(room.width_m), across], metres(room.width_m)), ...chain([down, y0], [down, this.#y(room.depth_m)], metres(room.depth_m)));
    const thing = this.path && thingAt(this.studio, this.path);
    if (!thing) return parts;
    if (this.path[0] === "spots" || this.path[0] === "furniture") {
      const x = this.#x(thing.from_left_m), y = this.#y(thing.from_front_m), mx = this.path[0] === "furniture" ? x + thing.width_m * this.scale / 2 : x, my = this.path[0] === "furniture" ? y + thing.depth_m * this.scale / 2 : y;
      // the measure's words stand before the table, if there is room, and not on its edge
      const [tx, ty] = this.path[0] === "spots" ? [x - thing.table_width_m * this.scale / 2, y - thing.table_depth_m * this.scale / 2] : [x, y];
      parts.push(...chain([x0, my], [x, my], metres(thing.from_left_m), true, [tx - x0 > 58 ? (x0 + tx) / 2 : null, my]), ...chain([mx, y0], [mx, y], metres(thing.from_front_m), true, [mx, ty - y0 > 24 ? (y0 + ty) / 2 : null]));
    } else if (this.path[0] === "windows" && this.path.length === 2) {
      const wall = wallOf(this.studio, thing), left = leftEdge(this.studio, thing), [ix, iy] = inward(wall);
      const stops = [0, left, left + thing.width_m, wallLength(this.studio, wall)].map((along) => onWall(this.studio, wall, along)).map(([x, y]) => [this.#x(x) + ix * 26, this.#y(y) + iy * 26]);
      for (let n = 0; n < 3; n += 1) parts.push(...chain(stops[n], stops[n + 1], metres([left, thing.width_m, wallLength(this.studio, wall) - left - thing.width_m][n]), true, [null, null], ix < 0));
    }
    return parts;
  }

  #north(width) {
    const a = -frontBearing(this.studio) * Math.PI / 180, x = width - 34, y = 34, tip = [x + Math.sin(a) * 20, y - Math.cos(a) * 20], tail = [x - Math.sin(a) * 20, y + Math.cos(a) * 20];
    return draw("g", { "pointer-events": "none" }, draw("circle", { cx: x, cy: y, r: 20, fill: "none", stroke: HAIR }), draw("path", { d: `M ${tail} L ${tip}`, stroke: SOFT, "stroke-width": 1.4 }),
      draw("circle", { cx: tip[0], cy: tip[1], r: 9, fill: "#faf7f2" }), draw("text", { x: tip[0], y: tip[1] + 5, "text-anchor": "middle", "font-size": 13, fill: INK }, "N"));
  }

  #ruler(height) {
    const one = this.scale, y = height - 6, { left } = this.edge;
    return [draw("path", { d: `M ${left} ${y - 4} v 4 h ${one} v -4`, fill: "none", stroke: SOFT }), draw("text", { x: left + one + 8, y, "font-size": 12, fill: SOFT }, "1 m")];
  }

  // ---- taking hold -------------------------------------------------------------------------------

  #take(event, path) {
    if (event.button) return;
    event.preventDefault();
    const end = event.target.dataset?.end || "";
    this.held = { id: event.pointerId, path, end, x: event.clientX, y: event.clientY, going: false, from: structuredClone(path[0] === "room" ? this.studio.room : thingAt(this.studio, path)) };
    this.svg.setPointerCapture(event.pointerId);
    // what a finger touches must still be there when the touch begins, a moment after this
    requestAnimationFrame(() => {
      this.told.chosen(path);
      this.svg.querySelector(`[data-path="${CSS.escape(JSON.stringify(path))}"]`)?.focus({ preventScroll: true });
    });
  }

  #drag(event) {
    const held = this.held;
    if (!held || event.pointerId !== held.id) return;
    const dx = event.clientX - held.x, dy = event.clientY - held.y;
    if (!held.going && Math.hypot(dx, dy) < 4) return;
    held.going = true;
    if (held.path[2] === "opposite") this.told.moving(held.path, this.#turned(held, event));
    else this.told.moving(held.path, this.#shifted(held.path, held.from, dx / this.scale, dy / this.scale));
  }

  #release(event) {
    if (!this.held || event.pointerId !== this.held.id) return;
    const { going, path } = this.held;
    this.held = null;
    if (going) this.told.moved(path);
  }

  #giveUp() {
    if (!this.held) return;
    const going = this.held.going;
    this.held = null;
    if (going) this.told.dropped();
  }

  /** Where a thing is after a step of dx, dy metres from where it was. */
  #shifted(path, from, dx, dy) {
    const { room } = this.studio;
    if (path[0] === "room") return { [path[1]]: within(cm(from[path[1]] + (path[1] === "width_m" ? dx : dy)), 1, 30) };
    if (path[0] === "windows") {
      const wall = wallOf(this.studio, from), step = alongWall(wall, dx, dy);
      return { from_left_m: cm(within(leftEdge(this.studio, from) + step, 0, wallLength(this.studio, wall) - from.width_m)) };
    }
    const [w, d] = path[0] === "furniture" ? [from.width_m, from.depth_m] : [0, 0];
    return { from_left_m: cm(within(from.from_left_m + dx, 0, room.width_m - w)), from_front_m: cm(within(from.from_front_m + dy, 0, room.depth_m - d)) };
  }

  /** Bearings of something outside, turned with the pointer about its window. */
  #turned(held, event) {
    const w = this.studio.windows[held.path[1]], [x, y] = onWall(this.studio, wallOf(this.studio, w), leftEdge(this.studio, w) + w.width_m / 2);
    const box = this.svg.getBoundingClientRect(), shrunk = box.width / this.svg.viewBox.baseVal.width;
    const at = (px, py) => Math.atan2((px - box.x) / shrunk - this.#x(x), -((py - box.y) / shrunk - this.#y(y))) * 180 / Math.PI + frontBearing(this.studio);
    const by = at(event.clientX, event.clientY) - at(held.x, held.y);
    return this.turnedBy(held.from, by, held.end);
  }

  turnedBy(from, by, end = "") {
    const ends = end ? [end] : ["bearing_from_deg", "bearing_to_deg"];
    return Object.fromEntries(ends.map((name) => [name, Math.round(turn(from[name] + by)) % 360]));
  }

  #key(event) {
    const path = JSON.parse(event.target.closest("[data-path]")?.dataset.path || "null");
    if (event.key === "Escape" && this.held) { this.#giveUp(); return; }
    if (!path || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === "Delete" || event.key === "Backspace") { event.preventDefault(); if (path[0] !== "room") this.told.removed(path); return; }
    if (event.key === "Enter" || event.key === " ") { event.preventDefault(); this.told.entered(path); return; }
    const arrow = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!arrow) return;
    event.preventDefault();
    this.nudge(path, arrow, event.shiftKey ? 10 : 1);
  }

  /** One step of `count` centimetres (or degrees, outside) to a side. */
  nudge(path, [right, down], count) {
    const from = path[0] === "room" ? this.studio.room : thingAt(this.studio, path);
    const values = path[2] === "opposite" ? this.turnedBy(from, (right - down) * count) : this.#shifted(path, from, right * count / 100, down * count / 100);
    this.told.moving(path, values);
    this.told.nudged(path);
  }
}

function label(text, x, y, anchor = "middle", over = false) {
  return draw("text", { x, y, "text-anchor": anchor, "font-size": 12.5, fill: over ? INK : SOFT, class: "name" }, text);
}

function wave([ax, ay], [bx, by]) {
  const long = Math.hypot(bx - ax, by - ay), count = Math.max(3, Math.round(long / 9)), [ux, uy] = [(bx - ax) / long, (by - ay) / long];
  const points = Array.from({ length: count * 4 + 1 }, (_, n) => { const t = n / (count * 4), h = Math.sin(n * Math.PI / 2) * 2.6; return `${(ax + (bx - ax) * t - uy * h).toFixed(1)} ${(ay + (by - ay) * t + ux * h).toFixed(1)}`; });
  return `M ${points.join(" L ")}`;
}

/** A measure from a to b; its words stand at the middle, or where `put` says (null in it: at the middle); `before`: left of an upright one. */
function chain(a, b, words, near = false, put = [null, null], before = false) {
  const colour = near ? ACCENT : SOFT, upright = Math.abs(a[0] - b[0]) < Math.abs(a[1] - b[1]), long = Math.hypot(a[0] - b[0], a[1] - b[1]);
  if (long < 3) return [];
  const tick = upright ? [4, 0] : [0, 4], middle = [put[0] ?? (a[0] + b[0]) / 2, put[1] ?? (a[1] + b[1]) / 2];
  const line = draw("path", { d: `M ${a} L ${b} M ${[a[0] - tick[0], a[1] - tick[1]]} l ${[2 * tick[0], 2 * tick[1]]} M ${[b[0] - tick[0], b[1] - tick[1]]} l ${[2 * tick[0], 2 * tick[1]]}`, stroke: colour, "stroke-width": 1, fill: "none", "pointer-events": "none" });
  const text = draw("text", { x: middle[0] + (upright ? (before ? -6 : 6) : 0), y: middle[1] + (upright ? 4 : -5), "text-anchor": upright ? (before ? "end" : "start") : "middle", "font-size": 12.5, fill: colour, class: "name", "pointer-events": "none" }, words);
  return long < 26 && near ? [line] : [line, text];
}

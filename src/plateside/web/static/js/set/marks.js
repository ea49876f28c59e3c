// What to change, drawn over the frame: boxes and points are shares of the upright picture.
import { draw, make } from "../core/dom.js";

/** A picture with its marks over it. */
export function drawn(image, marks, onlyAsked) {
  const svg = draw("svg", { class: "marks", "aria-hidden": "true" });
  const lay = () => layMarks(svg, image, marks, onlyAsked);
  if (image.complete && image.naturalWidth) requestAnimationFrame(lay);
  image.addEventListener("load", lay);
  new ResizeObserver(lay).observe(image);
  return make("span", { class: "drawn" }, image, svg);
}

/** Lay the drawing exactly over where the picture stands. */
export function layMarks(svg, image, marks, onlyAsked) {
  const wide = image.naturalWidth, high = image.naturalHeight;
  if (!wide || !image.clientWidth) { svg.replaceChildren(); return; }
  svg.setAttribute("viewBox", `0 0 ${wide} ${high}`);
  svg.setAttribute("width", image.clientWidth);
  svg.setAttribute("height", image.clientHeight);
  svg.style.left = `${image.offsetLeft}px`;
  svg.style.top = `${image.offsetTop}px`;
  svg.style.right = svg.style.bottom = "auto";
  svg.style.margin = "0";
  const shown = marks.filter((mark) => mark.asked || !onlyAsked);
  svg.replaceChildren(...shown.flatMap((mark) => sign(mark, wide, high)), ...arrow(shown, wide, high));
}

const twice = (tag, kind, attributes) =>
  [draw(tag, { class: "under", ...attributes }), draw(tag, { class: kind, ...attributes })];

function sign({ kind, box, outline }, wide, high) {
  if (outline?.length) return twice("polygon",
    kind, { points: outline.map(([u, v]) => `${(u * wide).toFixed(1)},${(v * high).toFixed(1)}`).join(" ") });
  const [x0, y0, x1, y1] = [box[0] * wide, box[1] * high, box[2] * wide, box[3] * high];
  const r = wide / 22, within = (at, whole) => Math.min(Math.max(at, r * 1.6), whole - r * 1.6);
  // a sign for a place at the edge stands wholly on the picture
  const x = within((x0 + x1) / 2, wide), y = within((y0 + y1) / 2, high);
  switch (kind) {
    case "wanted": return twice("ellipse", kind,
      { cx: (x0 + x1) / 2, cy: (y0 + y1) / 2, rx: (x1 - x0) / 2, ry: (y1 - y0) / 2 });
    case "sharpest": return twice("circle", kind, { cx: x, cy: y, r });
    case "lamp": {
      let rays = "";
      for (let k = 0; k < 8; k++) {
        const c = Math.cos(k * Math.PI / 4), s = Math.sin(k * Math.PI / 4);
        rays += `M${x + c * r * 0.9} ${y + s * r * 0.9}L${x + c * r * 1.5} ${y + s * r * 1.5}`;
      }
      return [...twice("circle", kind, { cx: x, cy: y, r: r * 0.6 }), ...twice("path", kind, { d: rays })];
    }
    case "cross": return twice("path", kind, { d: `M${x - r} ${y}H${x + r}M${x} ${y - r}V${y + r}` });
    case "lost": {
      let lines = "";
      const step = Math.max(wide / 40, 1);
      for (let d = step; d < (x1 - x0) + (y1 - y0); d += step) {
        const from = [x0 + Math.min(d, x1 - x0), y0 + Math.max(0, d - (x1 - x0))],
          to = [x0 + Math.max(0, d - (y1 - y0)), y0 + Math.min(d, y1 - y0)];
        lines += `M${from[0]} ${from[1]}L${to[0]} ${to[1]}`;
      }
      return [...twice("rect", kind,
        { x: x0, y: y0, width: Math.max(x1 - x0, 1), height: Math.max(y1 - y0, 1) }),
        draw("path", { class: kind, d: lines })];
    }
    default: return twice("rect", kind, { x: x0, y: y0, width: x1 - x0, height: y1 - y0, rx: wide / 120 });
  }
}

/** From where it is sharpest to where it should be. */
function arrow(marks, wide, high) {
  const from = marks.find((m) => m.kind === "sharpest"),
    to = marks.find((m) => m.kind === "wanted" && m.asked);
  if (!from || !to || !from.asked) return [];
  const a = [from.box[0] * wide, from.box[1] * high],
    b = [(to.box[0] + to.box[2]) / 2 * wide, (to.box[1] + to.box[3]) / 2 * high];
  const long = Math.hypot(b[0] - a[0], b[1] - a[1]);
  if (long < wide / 8) return [];
  const u = [(b[0] - a[0]) / long, (b[1] - a[1]) / long], r = wide / 22, head = wide / 30;
  const start = [a[0] + u[0] * r, a[1] + u[1] * r];
  const left = [b[0] - (u[0] + u[1] * 0.6) * head, b[1] - (u[1] - u[0] * 0.6) * head];
  const right = [b[0] - (u[0] - u[1] * 0.6) * head, b[1] - (u[1] + u[0] * 0.6) * head];
  return twice("path", "arrow", { d: `M${start}L${b}M${left}L${b}L${right}` });
}

/** Mean relative luminance of a loaded picture, 0 to 1. */
export function luminance(image) {
  const canvas = make("canvas", { width: 48, height: 32 });
  const context = canvas.getContext("2d", { willReadFrequently: true });
  context.drawImage(image, 0, 0, 48, 32);
  const { data } = context.getImageData(0, 0, 48, 32);
  const linear = (v) => (v <= 10 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4);
  let sum = 0;
  for (let k = 0; k < data.length;
    k += 4) sum += 0.2126 * linear(data[k]) + 0.7152 * linear(data[k + 1]) + 0.0722 * linear(data[k + 2]);
  return sum / (data.length / 4);
}

// Below the plan: sheers, hung or not, and boards, to one scale. A sheer is dragged onto a window, or off it.
import { draw, focused, make } from "../core/dom.js";
import { leftEdge, onWall, same, wallOf } from "./room.js";

const tone = (reflectance) => {
  const share = Array.isArray(reflectance) ? reflectance : [reflectance, reflectance, reflectance];
  return `rgb(${share.map((s) => Math.round(255 * Math.min(1, s + 0.06) ** (1 / 2.2))).join(" ")})`;
};

export class Shelf {
  constructor(place, plan, drawn, page) {
    this.place = place;
    this.plan = plan;
    this.drawn = drawn;
    this.page = page;
  }

  show(studio, path) {
    this.studio = studio;
    const had = this.place.contains(focused()) ? focused().dataset.path : null;
    const sheets = studio.diffusers.map((d, n) =>
      this.#button(["diffusers", n], path, d.window ? `${d.name}, on ${d.window}` : `${d.name}, not hung`,
      draw("svg", { width: 34, height: 26, viewBox: "0 0 34 26", "aria-hidden": "true" },
        draw("path", { d: "M2 3h30M5 3v18q2 3 4 0t4 0 4 0 4 0 4 0 4 0V3",
        fill: "var(--card)", stroke: "var(--soft)" }))));
    const boards = studio.boards.map((b, n) => this.#button(["boards", n], path, b.name,
      draw("svg", { width: Math.max(12, b.width_m * 52), height: Math.max(8, b.height_m * 52),
        "aria-hidden": "true" },
        draw("rect", { width: "100%", height: "100%", fill: tone(b.reflectance), stroke: "var(--ink)" }))));
    this.place.replaceChildren(...(sheets.length || boards.length
      ? [make("span", { class: "small soft" }, "Diffusers and boards")] : []), ...sheets, ...boards);
    if (had) this.place.querySelector(`[data-path="${CSS.escape(had)}"]`)?.focus({ preventScroll: true });
  }

  #button(at, path, words, picture) {
    const button = make("button",
      { type: "button", "data-path": JSON.stringify(at),
      "aria-pressed": String(same(at, path)), onclick: () => this.page.choose(at) }, picture, words);
    if (at[0] === "diffusers") button.addEventListener("pointerdown",
      (event) => this.#take(event, button, at));
    else button.classList.add("still");
    return button;
  }

  #take(event, button, at) {
    if (event.button) return;
    const start = [event.clientX, event.clientY];
    let ghost = null;
    button.setPointerCapture(event.pointerId);
    const move = (moved) => {
      if (!ghost && Math.hypot(moved.clientX - start[0], moved.clientY - start[1]) > 6) {
        ghost = button.cloneNode(true);
        ghost.removeAttribute("data-path");
        ghost.className = "held";
        ghost.setAttribute("aria-hidden", "true");
        this.place.append(ghost);
        button.classList.add("dragging");
      }
      if (ghost) {
        ghost.style.left = `${moved.clientX - 40}px`;
        ghost.style.top = `${moved.clientY - 22}px`;
      }
    };
    const end = (ended) => {
      for (const [kind, action] of [["pointermove", move],
        ["pointerup", end], ["pointercancel", end]]) button.removeEventListener(kind, action);
      button.classList.remove("dragging");
      if (!ghost) return;
      ghost.remove();
      if (ended.type === "pointercancel") return;
      const window = this.#windowAt(ended.clientX, ended.clientY), sheet = this.studio.diffusers[at[1]];
      this.page.choose(at);
      if (window !== sheet.window) this.page.save([{ put: [...at, "window"], value: window || null }]);
    };
    for (const [kind, action] of [["pointermove", move],
      ["pointerup", end], ["pointercancel", end]]) button.addEventListener(kind, action);
  }

  /** The window that is nearest to a point of the screen, within a hand's breadth; '' when none is. */
  #windowAt(x, y) {
    const box = this.drawn.svg.getBoundingClientRect(), { shrunk } = this.drawn;
    let nearest = "", least = 60;
    for (const w of this.studio.windows) {
      const wall = wallOf(this.studio, w), left = leftEdge(this.studio, w);
      for (let part = 0; part <= 8; part += 1) {
        const [mx, my] = this.drawn.at(onWall(this.studio, wall, left + w.width_m * part / 8));
        const far = Math.hypot(box.x + mx * shrunk - x, box.y + my * shrunk - y);
        if (far < least) { least = far; nearest = w.name; }
      }
    }
    return nearest;
  }
}

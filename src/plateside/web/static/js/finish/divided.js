// Two pictures one above the other at the same place and size, and a divider between them that is dragged or
// moved by keys.
import { make } from "../core/dom.js";
import { DIVIDED, SAID } from "./words.js";

/** Where each divider stands, so that a page drawn anew leaves it there. @type {Map<string, number>} */
const standing = new Map();

/**
 * Left of the divider is the picture before (in the words `beforeWords`), right of it the finished one. Gives
 * back the element.
 */
export function divided({ name, before, beforeWords, after, wide, high }) {
  const under = make("img",
    { alt: SAID.shown(name, SAID.finished), width: wide, height: high, loading: "lazy", class: "after" });
  const over = make("img",
    { alt: SAID.shown(name, beforeWords), width: wide, height: high, loading: "lazy", class: "before" });
  under.src = after;
  over.src = before;
  const handle = make("div", {
    class: "divider", role: "slider", tabindex: 0, "aria-label": DIVIDED.divider(name),
      "aria-valuemin": 0, "aria-valuemax": 100, "aria-orientation": "horizontal",
  }, make("span", { class: "grip", "aria-hidden": "true" }));
  const stage = make("div", { class: "divided", "data-held": true }, under, over,
    make("span", { class: "side left", "aria-hidden": "true" }, beforeWords),
    make("span", { class: "side right", "aria-hidden": "true" }, SAID.finished), handle);
  stage.style.aspectRatio = `${wide} / ${high}`;
  let at = 50;
  const place = (percent) => {
    at = Math.min(Math.max(percent, 0), 100);
    standing.set(name, at);
    over.style.clipPath = `inset(0 ${100 - at}% 0 0)`;
    handle.style.left = `${at}%`;
    handle.setAttribute("aria-valuenow", String(Math.round(at)));
    handle.setAttribute("aria-valuetext", DIVIDED.place(at, beforeWords));
    stage.classList.toggle("all-after", at < 12);
    stage.classList.toggle("all-before", at > 88);
  };
  const follow = (event) => {
    const box = stage.getBoundingClientRect();
    place(100 * (event.clientX - box.left) / box.width);
  };
  stage.addEventListener("pointerdown", (event) => {
    if (event.button) return;
    stage.setPointerCapture(event.pointerId);
    follow(event);
    event.preventDefault();
    handle.focus({ preventScroll: true });
  });
  stage.addEventListener("pointermove", (event) => {
    if (stage.hasPointerCapture(event.pointerId)) follow(event);
  });
  handle.addEventListener("keydown", (event) => {
    const step = event.shiftKey ? 10 : 2;
    const to = { ArrowLeft: at - step, ArrowDown: at - step, ArrowRight: at + step,
      ArrowUp: at + step, PageUp: at + 20, PageDown: at - 20, Home: 0, End: 100 }[event.key];
    if (to !== undefined && !event.altKey && !event.ctrlKey && !event.metaKey) {
      event.preventDefault();
      place(to);
    }
  });
  place(standing.get(name) ?? 50);
  return stage;
}

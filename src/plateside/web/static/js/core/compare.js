// Two to four pictures side by side at full size, moved in step. Used for frames, and for before and after.
import { keepingFocus, make } from "./dom.js";
import { Glass } from "./glass.js";
import { plain } from "./keys.js";
import { COMPARE } from "./words.js";

/**
 *   items  [{id, name, words (element or text), view, full, acts: [{words, key, do, pressed}]}]
 *   keyed(event, id)  keys that are not the glass's own
 * Gives back {refresh(items), close()}.
 */
export function compare(items, { title, keyed = (_event, _id) => {}, closed = () => {} }) {
  const size = make("output", { class: "number soft" });
  const panes = make("div", { class: "panes", "data-count": items.length });
  const glass = new Glass({ closer, zoomed });
  const button = (words, act, label) =>
    make("button", { type: "button", "aria-label": label, title: label, onclick: act }, words);
  const dialog = make("dialog", { class: "compare", "aria-label": title },
    make("div", { class: "compare-head" },
      make("p", { class: "compare-title" }, title),
      make("div", { class: "row" },
        button("−", () => glass.zoom(1 / 1.4), COMPARE.smaller), size,
        button("+", () => glass.zoom(1.4), COMPARE.larger),
        button(COMPARE.whole[0], () => glass.whole(), COMPARE.whole[1]),
        button(COMPARE.full[0], fullSize, COMPARE.full[1]),
        make("button", { type: "button", class: "main", onclick: () => dialog.close() }, COMPARE.close),
      )),
    panes,
    make("p", { class: "small compare-keys" }, COMPARE.how),
  );
  const feet = new Map(), figures = new Map();
  for (const item of items) {
    const img = make("img", { alt: item.name, draggable: "false" });
    img.src = item.view;
    const pane = make("div", { class: "pane", "data-id": item.id },
      img, make("span", { class: "waiting small" }));
    const foot = make("figcaption", {});
    feet.set(item.id, foot);
    const figure = make("figure",
      { class: "one", "data-id": item.id, tabindex: 0, role: "group", "aria-label": item.name }, pane, foot);
    figures.set(item.id, figure);
    panes.append(figure);
    glass.add(pane);
  }
  caption(items);

  function caption(now) {
    for (const item of now) {
      const foot = feet.get(item.id);
      if (!foot) continue;
      keepingFocus(foot, () => foot.replaceChildren(
        make("span", { class: "who" }, make("strong", {}, item.name), " ", item.words),
        item.acts?.length ? make("span", { class: "acts" },
          item.acts.map((a) => make("button",
          { type: "button", "aria-pressed": a.pressed === undefined ? null : String(a.pressed),
          onclick: a.do, "aria-label": COMPARE.act(a.words, item.name) }, a.words))) : "",
      ));
    }
  }

  function zoomed({ scale }) { size.textContent = COMPARE.scale(scale); }

  // the large picture only when somebody looks that closely: four of them fill a small laptop's memory
  function closer(pane) {
    const item = items.find((i) => i.id === pane.dataset.id);
    if (!item.full || pane.dataset.full) return;
    pane.dataset.full = "asked";
    const waiting = pane.querySelector(".waiting"), large = new Image();
    waiting.textContent = COMPARE.making;
    large.src = item.full;
    large.decode().then(() => {
      const img = pane.querySelector("img");
      img.src = large.src;
      pane.dataset.full = String(large.naturalWidth);
      waiting.textContent = "";
      glass.draw();
    }, () => { waiting.textContent = COMPARE.noLarger; });
  }

  async function fullSize() {
    const pane = glass.panes[0];
    closer(pane);
    for (let n = 0; n < 300 && pane.dataset.full === "asked" && dialog.open;
      n += 1) await new Promise((next) => setTimeout(next, 50));
    glass.pixelForPixel(Number(pane.dataset.full) || pane.querySelector("img").naturalWidth, pane);
  }

  dialog.addEventListener("keydown", (event) => {
    const step = event.shiftKey ? 0.4 : 0.12;
    const own = plain(event) && {
      "+": () => glass.zoom(1.4), "=": () => glass.zoom(1.4),
        "-": () => glass.zoom(1 / 1.4), "−": () => glass.zoom(1 / 1.4),
      0: () => glass.whole(), 1: fullSize,
      ArrowLeft: () => glass.pan(-step, 0), ArrowRight: () => glass.pan(step, 0),
        ArrowUp: () => glass.pan(0, -step), ArrowDown: () => glass.pan(0, step),
    }[event.key];
    if (own) { event.preventDefault(); own(); return; }
    const figure = event.target.closest?.("figure.one");
    keyed(event, figure?.dataset.id || items[0].id);
  });
  dialog.addEventListener("close", () => {
    for (const pane of [...glass.panes]) glass.remove(pane);
    dialog.remove();
    closed();
  });
  panes.addEventListener("pointerdown",
    (event) => event.target.closest(".pane")?.parentElement.focus({ preventScroll: true }));
  document.body.append(dialog);
  dialog.showModal();
  figures.get(items[0].id).focus();
  glass.draw();
  return { refresh: caption, close: () => dialog.close(), ids: items.map((i) => i.id), glass };
}

// Colours by a chart: pick the frame that shows it, see where it was found and how good it is, use it or not.
/** @import { ChartShown, FinishShown } from "../core/facts" */
import { tell } from "../core/ask.js";
import { make, one } from "../core/dom.js";
import { letGo } from "../core/hold.js";
import { press, takeBack } from "../core/press.js";
import { say, trying } from "../core/say.js";
import { corners, isQuadrangle } from "./corners.js";
import { CHART, SAID } from "./words.js";

/** A chart in the middle of the frame: where the corners are put before they are put in place. */
const MIDDLE = /** @type {[number, number][]} */ ([[0.3, 0.3], [0.7, 0.3], [0.7, 0.7], [0.3, 0.7]]);
let chosen = "", asked = 0;
/** @type {ChartShown | null} */
let read = null;

/** @type {(flat: number[]) => [number, number][]} */
const pairs = (flat) => [0, 2, 4, 6].map((n) => [flat[n], flat[n + 1]]);

/**
 * The charts that count, and the place to add one; `changed`: something was written down.
 * @param {FinishShown} reply
 * @param {() => void} changed
 */
export function drawChart(reply, changed) {
  const box = one("#chart");
  box.hidden = !reply.raws.length;
  if (box.hidden) return;
  const name = (frame) => reply.raws.find((raw) => raw.id === frame)?.name ?? frame;
  const list = one("#charts"), select = one("#chart-frame");
  one("#chart-now").textContent = CHART.now(reply.charts.map(({ frame }) => name(frame)));
  list.replaceChildren(...reply.charts.map(({ frame }) => make("li", {},
    make("img", { src: `/frames/${frame}/thumb.jpg`, alt: "", width: 3, height: 2, loading: "lazy" }),
    make("span", {}, name(frame)),
    make("button", { type: "button", onclick: () => choose(frame) }, CHART.show),
    make("button", { type: "button", class: "quiet", "aria-label": CHART.awayOf(name(frame)),
      onclick: () => write(frame, []) }, CHART.away))));
  const known = [...select.options].map((option) => option.value).join();
  if (known !== ["", ...reply.raws.map((raw) => raw.id)].join()) {
    select.replaceChildren(make("option", { value: "" }, CHART.pick),
      ...reply.raws.map((raw) => make("option", { value: raw.id }, raw.name)));
    select.value = chosen;
  }
  select.onchange = () => choose(select.value);

  const write = (frame, flat) => trying(async () => {
    const done = await press("colour chart", { frame, corners: flat }, reply.row);
    if (flat.length) clear();
    const undo = async () => { await takeBack(done.row); changed(); };
    say(done.said, { words: SAID.undo, do: () => trying(undo) });
    changed();
  });
  function clear() {
    chosen = select.value = "";
    read = null;
    asked += 1;
    one("#chart-read").replaceChildren();
  }
  /** @param {string} frame */
  function choose(frame) {
    clear();
    chosen = select.value = frame;
    const marked = reply.charts.find((chart) => chart.frame === frame);
    if (frame) look(frame, marked ? [...marked.corners] : []);
  }
  /** Look for the chart, or read it at these corners. @param {string} frame @param {number[]} flat */
  async function look(frame, flat) {
    const mine = asked += 1, place = one("#chart-read");
    const words = make("p", { role: "status" }, CHART.looking(name(frame)));
    place.replaceChildren(words);
    let at = MIDDLE, said = [], good = false;
    try {
      const found = /** @type {ChartShown} */ (await tell("/finish/chart", { frame, corners: flat }));
      if (mine !== asked) return;
      read = found;
      [at, said, good] = [pairs([...found.corners]), [...found.said], true];
    } catch (error) {
      said = [error.message, CHART.byHand];
      if (flat.length) at = pairs(flat);
    }
    if (mine !== asked) return;
    const image = new Image();
    image.src = `/frames/${frame}/view.jpg`;
    try { await image.decode(); } catch { /* the corners are shown without it */ }
    await letGo();
    if (mine !== asked) return;
    const picker = corners({ src: image.src, alt: CHART.picture(name(frame)), wide: image.naturalWidth || 3,
      high: image.naturalHeight || 2, names: CHART.corners, points: at, changed: () => {
        use.disabled = true;
        again.disabled = !isQuadrangle(picker.points());
      } });
    const counts = reply.charts.some((marked) =>
      marked.frame === frame && marked.corners.join() === read?.corners.join());
    const use = make("button", { type: "button", class: "main", disabled: !good || counts,
      onclick: () => read && write(frame, [...read.corners]) }, CHART.use);
    const again = make("button", { type: "button", disabled: true,
      onclick: () => look(frame, picker.points().flat()) }, CHART.read);
    place.replaceChildren(make("div", { class: "chart-read" }, picker.element, make("div", {},
      make("div", { role: "status" }, said.map((line) => make("p", { class: good ? "" : "mind" }, line))),
      make("div", { class: "row" }, use, again,
        make("button", { type: "button", class: "quiet", onclick: clear }, CHART.close)))));
  }
}

// The week in seven bars, and what would change the light, side by side.
import { draw, make } from "../core/dom.js";
import { SAID } from "./words.js";

const FROM_H = 3, TO_H = 23, MOST_STOPS = 2;

/** Seven days; a press goes to one. */
export function drawWeek(place, week, chosen, go) {
  const rest = week.missing ? [make("li", { class: "rest small soft" }, week.missing)] : [];
  place.replaceChildren(...week.days.map((day) => make("li", {},
    make("button", { type: "button", "aria-pressed": String(day.day === chosen), onclick: () => go(day.day),
      "aria-label": `${day.long_name}: ${day.good_words}${day.best ? ", best of the week" : ""}` },
      make("span", { class: "day-name" }, day.name,
        day.best ? make("span", { class: "best" }, " best") : null),
      bar(day.good),
      make("span", { class: "times" }, day.good_words),
      make("span", { class: "soft" }, day.good.length ? `${day.total_words}, ${day.spot}` : "")))), ...rest);
}

function bar(spans) {
  const at = (hour) => ((Math.max(FROM_H, Math.min(TO_H, hour)) - FROM_H) / (TO_H - FROM_H)) * 100;
  return draw("svg", { class: "week-bar", viewBox: "0 0 100 8",
    preserveAspectRatio: "none", "aria-hidden": "true" },
    draw("rect", { width: 100, height: 8, class: "ground" }),
    spans.map(([a, b]) =>
      draw("rect", { x: at(a), y: 0, width: Math.max(0.8, at(b) - at(a)), height: 8, class: "lit" })));
}

/** The changes at a moment, each with its stops. */
export function drawWhatIfs(place, found) {
  if (!found.changes.length) { place.replaceChildren(make("p", {}, SAID.tooDark)); return; }
  place.replaceChildren(make("table", { class: "what-ifs" },
    make("caption", { class: "unseen" }, SAID.changesAt(found.clock)),
    make("thead", {}, make("tr", {}, make("th", { scope: "col" }, `At ${found.clock}`),
      make("th", { scope: "col", colspan: 2 }, SAID.onTable), make("th", { scope: "col" }, SAID.shadowSide))),
    make("tbody", {}, found.changes.map((change, i) => make("tr", {},
      make("th", { scope: "row" }, change.name),
      make("td", { class: "gain" }, gain(change.gain_stops)),
      make("td", {}, i ? change.gain : "", i ? make("br") : null,
        make("span", { class: i ? "soft small" : "" }, change.lux)),
      make("td", {}, change.fill))))));
}

function gain(stops) {
  const svg = draw("svg", { class: "gain-bar", viewBox: "-52 0 104 20", "aria-hidden": "true" });
  const far = stops === null ? -MOST_STOPS : Math.max(-MOST_STOPS, Math.min(MOST_STOPS, stops));
  for (let s = -MOST_STOPS; s <= MOST_STOPS;
    s++) svg.append(
    draw("line", { x1: s * 25, x2: s * 25, y1: s ? 7 : 1, y2: s ? 13 : 19, class: s ? "tick" : "zero" }));
  svg.append(
    draw("rect", { x: Math.min(0, far * 25), y: 5,
    width: Math.abs(far * 25), height: 10, class: far < 0 ? "less" : "more" }));
  return svg;
}

// All that the Light page says by itself; what is said of the light comes with the facts, from the server.

/** 1683 -> "1700", 0.0132 -> "0.013". */
function twoFigures(value) {
  if (!value) return "0";
  const digits = 1 - Math.floor(Math.log10(Math.abs(value)));
  return digits > 0 ? value.toFixed(digits) : String(Math.round(value / 10 ** -digits) * 10 ** -digits);
}

/** "about 1700 lx (1100-2600) on the table". */
export function luxWords(lux, low, high) {
  return lux ? `about ${twoFigures(lux)} lx (${twoFigures(low)}-${twoFigures(high)}) on the table`
    : "no light";
}

export const SAID = {
  forShots: (kind, name) => (kind === "shot" ? name : `every shot at ${name}`),
  planned: (shots) => `Plan looks for this light now, for ${shots.join(", ")}.`,
  toPlan: "Open Plan",
  onTable: "Light on the table",
  shadowSide: "Shadow side",
  sunOnDish: "sun on the dish",
  sun: "sun",
  months: ["Month", "Good light a day, h", "Days with it", "Sun on the dish, h"],
  skipped: "the clocks skip this time.",
  tooDark: "Too dark at this hour: only a lamp helps.",
  reading: "Reading the file ...",
  fileTooLarge: "That file is too large to be a forecast or a year's weather by the hour.",
  fixFirst: "Fix what is marked below, and the light follows.",
  rough: "Rendering a rough one…",
  clearing: "Clearing…",
  rendered: "Rendered, not photographed.",
  renderedBefore: "The settings have changed since. Make the picture again to see the change.",
  yearKeys: "The year, days across, hours down. Arrow keys move by a day and a quarter of an hour, Page up and down by a month, Enter shows that day.",
  forecastIsNoYear: "A forecast does not cover a year. Choose a sky in words above, or give a typical year’s file.",
  computingYear: "Computing the year: 105,000 moments.",
  pointAtYear: "Point at the year, or move with the arrow keys, and it is read out here.",
  changesAt: (clock) => `What would change the light at ${clock}`,
  noTime: (typed, clock) =>
    `“${typed}” is not a time of day: write it like 14:30 or 2:30 pm. Still showing ${clock}.`,
  darkThen: (asked, which, clock) => `Too dark at ${asked}; showing the ${which} daylight, ${clock}.`,
  fourSkies: (sky) => `Planned pictures come in four skies; this one is your shoot’s own, ${sky}.`,
  pictureOf: (title, words) => `Planned picture: ${title}. ${words.join(". ")}.`,
};

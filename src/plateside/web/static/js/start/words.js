// What the start page and the first run say by themselves: beside a question, and where an answer cannot be
// read.
const BY_MAP =
  "or its latitude and longitude as a map shows them, such as 38.72, -9.14 (south and west with a minus).";

export const CITY = {
  credit: "Place names: GeoNames (geonames.org), CC BY 4.0.",
  chosen: (name, where, coordinates, zone) =>
    `${name}, ${where}: ${coordinates ? `${coordinates}. ` : ""}Time zone ${zone}.`,
  near: "No place begins like that. Did you mean one of these?",
  none: `No place begins like that. For a small village, type its whole name. Or name the nearest town, ${BY_MAP}`,
  empty: "Type the name of your town, then choose it from the list.",
  looking: "Looking it up.",
};

export const COMPASS = {
  points: "Points of the compass",
  degrees: "Degrees clockwise from true north",
  now: (degrees, wind) => `${degrees} degrees, ${wind}`,
  tooMuch: (typed) => `${typed} is more than a whole turn. `,
  form: "Write degrees as a number from 0 to 360: 0 is north, 90 east, 180 south, 270 west.",
  turned: (degrees) => `A whole turn is 360°: taken as ${degrees}°.`,
};

export const ASK = {
  town: "Town",
  facing: "The way the window faces",
  focal: "Write it as 50, or both ends of a zoom as 24-70.",
  fNumber: "Write it as 2.8.",
  megapixels: "Write it as 24.",
  metres: "Write metres as 4.2.",
  unread: (typed, form) => `“${typed}” is not a number. ${form}`,
  missing: "A number is missing here.",
  day: "Choose a day.",
  past: "That day has passed.",
  question: (n, all) => `Question ${n} of ${all}`,
  last: "Show me my light",
};

export const SKETCH = {
  noRoom: "A room or a window of that size cannot be drawn.",
  noPlace: "The sun’s path depends on where you are.",
  sun: (degrees, day) => (degrees > 0 ? `${degrees}° high on ${day}` : `below the horizon on ${day}`),
  noon: (place, suns) => `${place}: the noon sun is ${suns}.`,
  days: ["the longest day", "the shortest day"],
  wall: "The window wall, seen from inside.",
  tooLarge: "The window does not fit into this wall.",
  facing: (sun) =>
    `The window wall is at the top.${sun ? " Yellow on the compass: where the sun passes on the longest day (outer) and the shortest (inner)." : ""}`,
  room: "Your room from above, the window wall at the top.",
  table: "The dish on its table.",
  shoot: "That is all Plateside needs. You can change everything on the Studio page.",
  noFocal: (low, high) => `A lens has a focal length from ${low} to ${high} mm.`,
  lens: (zoomed_mm, degrees, wide_cm) =>
    `Your lens${zoomed_mm ? ` at ${zoomed_mm} mm` : ""} sees ${degrees}° side to side: ` +
    `${wide_cm} cm of the table from 75 cm away.`,
};

export const DEMO = { beginning: "Beginning",
  made: "The demo is ready.", whole: "The whole demo is ready.", open: "Open it" };

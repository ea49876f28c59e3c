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
  floor: "Write it as 0 for the ground floor, 1 for the next.",
  megapixels: "Write it as 24.",
  metres: "Write metres as 4.2.",
  unread: (typed, form) => `“${typed}” is not a number. ${form}`,
  kind: "Choose the one that looks most like your dish.",
  missing: "A number is missing here.",
  day: "Choose a day.",
  past: "That day has passed.",
  question: (n, all) => `Question ${n} of ${all}`,
  last: "Show me my light",
};

export const END = { ended: (how) => `Plateside has ended. ${how}` };
export const DEMO = { beginning: "Beginning",
  made: "The demo is ready.", whole: "The whole demo is ready.", open: "Open it" };

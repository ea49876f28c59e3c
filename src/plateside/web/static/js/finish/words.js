// What the Finish page says by itself: names of its parts, how far the work is.

export const SAID = {
  make: "Make the series",
  inTurn: "Another finish of this shoot is running. This one begins when it ends.",
  noFrame: (shot) => `${shot} (no frame yet)`,
  extra: (name) => `${name}, extra`,
  matchedTo: (shot) => `${shot}, the one to match`,
  shown: (shot, which) => `${shot}, ${which}`,
  finished: "finished",
  accept: (shot) => `Accept ${shot} as it is`,
  undo: "Undo",
  look: "Look closely",
  take: (file) => `Take ${file}`,
};

/** Of a lens that may be one of several. */
export const LENS = { none: "Not chosen: left as it is" };

/** Of the work: it counts three equal parts, choosing, measuring, making. */
export function going(at, total) {
  const pictures = total / 3;
  if (at >= total) return "Writing the list …";
  if (at < pictures) return "Finding each shot's best frame …";
  if (at < 2 * pictures) return `Measuring picture ${at - pictures + 1} of ${pictures}`;
  return `Making picture ${at - 2 * pictures + 1} of ${pictures}`;
}

/** Of frames beside the selects. */
export const EXTRA = {
  kind: { select: "select", extra: "extra" },
  others: (shot, count) => `Finish another frame of ${shot} (${count})`,
  finish: (frame) => `Finish ${frame} too`,
  deliver: "Deliver it too",
  noMore: "Finish it no more",
};

/** Of retouched files. */
export const RETOUCHED = {
  asMade: "Use the picture as it was made",
  keep: "Keep yours",
  useAgain: "Use it again",
  coming: (name, at, total) => (total > 1 ? `${name} is coming, ${at} of ${total}` : `${name} is coming`),
};

/** Where each note leads. */
export const LINKS = {
  unmatched: [["/choose", "Choose another frame"], ["/set", "Take it again"]],
  "take again": [["/choose", "Choose another frame"]],
  "no frame": [["/set", "Photograph it"]],
};

/** Of a picture before and after. */
export const DIVIDED = {
  divider: (name) => `Divider between before and after, ${name}`,
  place: (at, before) =>
    at === 0 ? "all finished" : at === 100 ? `all ${before}` : `${Math.round(at)} % ${before}`,
  title: (name) => `${name}, before and after`,
  before: "Before",
  after: "Finished",
  of: (frame, before) => `${frame}, ${before}`,
};

/** Of what is square to the picture. */
export const SQUARE = {
  title: "Square",
  what: "Something flat, such as a tray or the table, made square to the picture.",
  corners: "Square it by four corners",
  card: "Square it by the set card",
  back: "Square it no more",
  frame: (shot) => `${shot}, the frame as you took it`,
  dialog: (shot) => `Square ${shot}`,
  how: "Put the four corners on something flat and rectangular.",
  names: ["Upper left", "Upper right", "Lower right", "Lower left"],
  shape: "Its shape",
  shapes: [["told by its perspective", 0], ["square, 1:1", 1], ["3:2", 1.5], ["4:3", 4 / 3], ["2:1", 2],
    ["A4 sheet across", 297 / 210], ["2:3", 2 / 3], ["3:4", 0.75], ["1:2", 0.5], ["A4 sheet upright", 210 / 297]],
  do: "Square it",
  cancel: "Leave it",
};

/** Of what is set by hand. */
export const HAND = {
  title: "Set by hand",
  scope: { picture: "this picture", series: "the whole series" },
  names: { brighter_stops: "Brightness", warmer_mired: "Warmth", magenta_cc: "Green to magenta",
    turned_degrees: "Straighten" },
  said: {
    brighter_stops: (v, size) => v === 0 ? "as it is" : `${size} stop ${v > 0 ? "brighter" : "darker"}`,
    warmer_mired: (v, size) => v === 0 ? "as it is" : `${size} mired ${v > 0 ? "warmer" : "cooler"}`,
    magenta_cc: (v, size) => v === 0 ? "as it is" : `${size} CC ${v > 0 ? "more magenta" : "greener"}`,
    turned_degrees: (v, size) => v === 0 ? "as it is" : `${size}° ${v > 0 ? "clockwise" : "anticlockwise"}`,
  },
  zero: "Back to zero",
  notShown: "That picture cannot be shown just now.",
};

/** Of four points on a picture. */
export const CORNERS = {
  group: "Four corners",
  keys: "Drag each corner into place. Or press Tab to reach one and move it with the arrow keys (Shift: larger steps).",
  at: (name, x, y) => `${name}: ${(x * 100).toFixed(1)} % from the left, ${(y * 100).toFixed(1)} % from the top`,
};

/** Of the colour chart. */
export const CHART = {
  now: (names) => !names.length
    ? "No chart yet. Photograph one of 24 patches where the dish will be, one for each light, as a raw."
    : `Colours by ${names.length === 1 ? "the chart" : "the charts"} in ${names.join(", ")}.`,
  pick: "Pick the frame with the chart",
  looking: (name) => `Looking for the chart in ${name} …`,
  byHand: "Put the four corners on the outer corners of its patches, then press Read the chart here.",
  corners: ["Brown", "Other end of the brown row", "Black", "White"],
  picture: (name) => `${name}, with the chart's corners`,
  use: "Use this chart",
  read: "Read the chart here",
  close: "Close",
  show: "Show",
  away: "Take away",
  awayOf: (name) => `Take away the chart in ${name}`,
};

// All that the Plan page says by itself: of fields, rows and cards; what is said of the day comes with the
// day.

/** 480 -> "8 h"; 95 -> "1 h 35 min" */
export function hours(minutes) {
  const whole = Math.round(minutes), h = Math.floor(whole / 60), rest = whole % 60;
  return [h && `${h} h`, (rest || !h) && `${rest} min`].filter(Boolean).join(" ");
}

/** 483.2 -> "480": two figures and no more. */
function figures(value) {
  if (!(value > 0)) return "0";
  const digits = 1 - Math.floor(Math.log10(value));
  const shown = Math.round(value * 10 ** digits) / 10 ** digits;
  return digits > 0 ? shown.toFixed(digits) : String(shown);
}

/** Of the page and its changes. */
export const SAID = {
  plan: "Plan",
  undo: "Undo",
  undone: "Undone.",
  elsewhere: "The shoot was changed elsewhere. This is how it is now.",
  moved: (name, place, all) => `${name} is now ${place} of ${all}.`,
  othersToo: (label, others) =>
    `${label}: ${others.length === 1 ? `${others[0]} has` : `${others.length} other shots have`} what this shot had before.`,
  changeThem: (count) => (count === 1 ? "Change it there too" : "Change it in all"),
  copied: (name, fresh) => `${fresh} is a copy of ${name}.`,
  recipeBrief: (ingredients, steps) =>
    `${ingredients} ${ingredients === 1 ? "ingredient" : "ingredients"}, ${steps} ${steps === 1 ? "step" : "steps"}`,
  removed: (name) => `${name || "It"} is removed.`,
  dishNamed: (before) =>
    `Not saved: the dish needs a name, and one word will do. Escape brings back “${before}”.`,
  landed: (frames, shot) =>
    `${frames === 1 ? "1 frame has" : `${frames} frames have`} landed for “${shot}”, so its name stays. You can change its title.`,
  newStep: "new step",
  step: (number) => `step ${number}`,
};

/** Fields of the light that the camera metered, and their ids. */
export const ONE_LIGHT = [["f_number", "f-number"], ["shutter", "shutter"], ["iso", "iso"], ["off", "off"]];

/** Of rows that are moved and removed. */
export const ROW = {
  words: { up: "Up", down: "Down", remove: "Remove", copy: "Copy" },
  label: {
    up: (name) => `Move ${name} up`, down: (name) => `Move ${name} down`, remove: (name) => `Remove ${name}`,
    copy: (name) => `Copy ${name}`,
  },
};

/** Labels of a step's and a channel's fields, shorter than in the file. */
export const STEP = {
  name: "What", takes: "Takes", looks_fresh_for: "Looks fresh for",
    hands: "Needs your hands", for_shot: "Only for",
  text: "The sentence readers see",
};
export const KEEPS = "it keeps";
export const CHANNEL = {
  text_space: "Left for text", formats: "File formats",
    largest_kb: "Largest file", on_page: "In the recipe page's markup",
};
export const ITS_FILES = "Its files";
export const RECIPE = { title: "Dish", allergens: "Every allergen on the set, garnish included, one a line" };

/** Of the day. */
export const DAY = {
  planning: ["Planning the day.", "Planning the day again."],
  notPlanned: "The day is not planned: see above.",
  where: { shoot: "The shoot", studio: "The studio" },
  lead: (date, place, sky, begins) => {
    const day = date.toLocaleDateString("en-GB",
      { weekday: "long", day: "numeric", month: "long", year: "numeric" });
    return [day, place, `${sky} sky`, begins && `start at ${begins}`].filter(Boolean).join(", ");
  },
  noShots: "Add a shot to see its light over the day.",
  light: "Light",
  onShot: (shot) => `on ${shot}`,
  good: (minutes) => (minutes ? `${hours(minutes)} of good light` : "no good light"),
  kitchen: "Kitchen",
  look: "Look at an hour",
  /** doing: {shot, part: "setting up" | "finishing" | "shooting"} or null */
  at: ({ clock, lux, shot, lit, all, doing }) => {
    const whom = !lit.length ? "no shot" : lit.length === all ? "every shot" : lit.join(", ");
    const work = { "setting up": "setting up", finishing: "finishing the plate for", shooting: "shooting" };
    const now = doing ? `; ${work[doing.part]} ${doing.shot}` : "";
    return `${clock}: about ${figures(lux)} lx facing the camera on ${shot}; good for ${whom}${now}.`;
  },
  orderBrief: (steps, shots) => `${steps} steps, kitchen and ${shots === 1 ? "1 shot" : `${shots} shots`}`,
  forWhat: (why) => `for ${why}`,
  handsFree: "hands-free",
  standIn: "set up with the stand-in",
  hero: "the hero",
  plates: (count) => `Plates of the dish: ${count}`,
  care: "Take care",
};

/** Of a field. */
export const FIELD = {
  minutes: "min",
  none: "None",
  gone: (name) => `${name} (not there)`,
  range: (low, high, unit) => `${low} to ${high}${unit ? ` ${unit}` : ""}`,
  withRange: (words, range) => (range ? `${words} (${range})` : words),
  notSaved: "Not saved yet. Press Enter, or leave the field, to save it.",
  clash: (theirs) =>
    `Changed elsewhere to ${theirs ? `“${theirs}”` : "nothing"}; yours is not saved. Enter saves yours, Escape takes the other.`,
  noTime: (typed) =>
    `“${typed}” is not a length of time. Write minutes, such as 25, or 1:30 for an hour and a half.`,
  noneInStudio: "Your studio has none yet.",
};

/** Of a shot's card. */
export const SHOT = {
  more: "More about this shot",
  brief: (card) => [card.lens, card.distance, card.aperture, card.shutter, card.iso].join(" · "),
  notAskedAlone: "Not the frame you asked for",
  print: "Print shot sheet",
  planning: ["Planning.", "Planning again."],
  notPlanned: "Not planned: see the top of the page.",
  hero: (clock) => `hero in at ${clock}`,
  noHour: "The day has no hour for this shot.",
  headline: {
    lens: "Lens", distance: "Distance", height: "Above the surface",
      aperture: "Aperture", shutter: "Shutter", iso: "ISO",
  },
  notAsked: "Not the frame you asked for: ",
  mind: "Mind: ",
  drawings: { side: "From the side, to scale", top: "From above, to scale" },
  figures: "Lengths, crops and rig",
  lists: { known: "On the set", crops: "Crops", ways_out: "If the light falls short" },
  placeBoard: "Place a board",
  noBoards: "Your studio has no boards to place.",
  removeBoard: (board) => `Remove the ${board} board`,
};

/** Heads of the fields that are folded, and which fields stand below each. */
export const GROUPS = [
  ["The picture", ["camera_faces_deg", "elevation_deg",
    "space_percent", "orientation", "background_gap_mm",
    "background_blur_percent", "deliberate"]],
  ["The dish", ["glossy", "fall_height_mm", "person", "model_release", "irreversible"]],
  ["The set", ["spot", "props", "fill_stops", "camera", "lens", "support", "polariser_stops", "extras"]],
  ["The hour", ["date", "minutes", "from_time", "to_time", "least_lx", "direct_sun"]],
  ["Words and where it goes", ["name", "role", "caption", "alt_text", "channels"]],
];

const FIRST = "Empty: the first in your studio.", BEST = "Empty: the best of yours for this shot.";
/** Beside a shot's fields, where the file's own words are for who writes the file. */
export const HINTS = {
  name: "Short name: one word, or several with hyphens.",
  elevation_deg: "How steeply the camera looks down. Empty: 90 overhead, 45 at an angle, 5 straight on.",
  background_blur_percent:
    "How soft the background is: how wide a point of light there becomes. Empty: as it comes.",
  spot: FIRST, surface: FIRST, camera: FIRST, lens: BEST, support: BEST,
  fill_stops: "Shadows at most this many stops darker (1 is soft, 3 is hard). Empty: no boards asked for.",
  channels: "None ticked: all of them.",
};

/** Of planned pictures. */
export const PICTURE = {
  waits: "Waiting to be rendered.",
  going: { rough: "Rendering.", clean: "Rendering a cleaner one." },
  comes: "The planned picture comes with the set-up.",
  of: (shot) => `Planned picture of ${shot}`,
  alt: (title) => `Planned picture of ${title}: a stand-in dish, rendered, not photographed`,
  caption: (words) => `Rendered, not photographed${words ? `: ${words}` : ""}.`,
  noSetUp: "No set-up, so no planned picture.",
  noWindow: "A planned picture needs a window in the studio.",
};

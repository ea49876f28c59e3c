// All that the Set page says by itself: at once, of what it has seen; what the server has found comes with
// its own words.

const clock = (date) => date.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hour12: false });
const count = (number, one) => `${number} ${one}${number === 1 ? "" : "s"}`;

/** "three-bowls" -> "three bowls" */
export const spoken = (name) => name.replaceAll("-", " ");

/**
 * The hour on the kitchen's clock, as on every other page, of a moment with its offset: a tablet's zone may
 * be another.
 */
export const kitchenHour = (moment) => moment.slice(11, 16);

/** A number and its unit stay on one line. */
export const withUnbrokenUnits = (words) => words
  .replace(/(\d) (s|mm|cm|m|px|%|min|stops?|degrees|mired)\b/g, "$1\u00a0$2")
  .replace(/(ISO) (\d)/g, "$1\u00a0$2");

/** "now", "40 s ago", "12 min ago", "3 h ago" */
export function age(seconds) {
  if (seconds < 5) return "now";
  if (seconds < 60) return `${5 * Math.floor(seconds / 5)} s ago`;
  if (seconds < 100 * 60) return `${Math.floor(seconds / 60)} min ago`;
  if (seconds < 48 * 3600) return `${Math.floor(seconds / 3600)} h ago`;
  return `${Math.floor(seconds / 86400)} days ago`;
}

/** The large word and the line below it: state.js says when. */
export const STATE = {
  words: {
    lost: "Not connected", stopped: "Not judging", ready: "Ready", wait: "Wait", kept: "Kept", noted: "Again",
    good: "Good", adjust: "Adjust", again: "Again", chart: "Chart",
  },
  since: (date) => `since ${clock(date)}`,
  lampsOff: "Lamps off, one frame.",
  lampsOffOnly: "Lamps off, nothing else changed, one frame.",
  firstFrame: (shot) => `First frame of ${spoken(shot)}.`,
  begin: "Press Next shot to begin.",
  quickLook: (words) => `Quick look: ${words}`,
  judging: "Judging the new frame.",
  chart: "A colour chart, not judged as a picture.",
  nextOrAnother: "Next shot, or another frame.",
  dayDone: (day) => `Every shot of the day is done. The next one is on ${day}.`,
  stillToKeep: (shots) => `Still to keep: ${shots.map(spoken).join(", ")}.`,
  allKept: "Every shot is done. Last check before you clear the set.",
  onceMore: "Take it once more.",
  againNoted: "Again: noted",
  notSure: "Not sure.",
};

/** Beside the frame: whose it is, how many shots are to do, what else there is to know. */
export const ABOUT = {
  noFrame: "no frame yet",
  noShot: "no shot named",
  // whose shot nobody has said is a guess
  shot: (name, guessed) => `${spoken(name)}${guessed ? "?" : ""}`,
  toKeep: (left, all) => (left ? `${left} of ${all} to keep` : "all kept"),
  notWatching: "not watching",
  notUsed: (files) => `${count(files, "file")} not used`,
  soundOff: "Sound is off",
  noSound: "No sound yet: touch anywhere",
  presses: { next: "Next shot", clear: "Last check" },
};

const span = (minutes) => (minutes < 60 ? `${minutes} min`
  : `${Math.floor(minutes / 60)} h${minutes % 60 ? ` ${minutes % 60} min` : ""}`);
const holds = {
  holds: (at) => `good light until ${kitchenHour(at)}`, again: (at) => `good light again from ${kitchenHour(at)}`,
  over: () => "the good light of this day is over", unknown: () => "",
};

/** What to do for a shot until its first frame lands, and where it is in the day. */
export const TODO = {
  // at most 18 characters, as the lines above it
  focus: (white_k, on) => (white_k ? `${white_k} K, ${on}` : `focus ${on}`),
  white: ["White balance"],
  whiteBalance: (white_k) => `${white_k ? `${white_k} K for the light now` : "daylight"}, fixed for the whole shot`,
  light: "Light",
  holds: ({ code, at }) => holds[code](at),
  plate: "Plate",
  put: "Put",
  late: ({ minutes, light }) => `${span(minutes)} late${light.code === "unknown" ? "" : `: ${holds[light.code](light.at)}`}.`,
  // beside the shot's name
  when: (standing, slot) => ({
    early: `at ${slot.hero_words}`, due: `at ${slot.hero_words}`, late: `${span(standing.minutes)} late`,
    "another day": `at ${slot.hero_words}`,
  }[standing.code]),
  nextLate: (shot, { minutes }) => `next: ${shot}, ${span(minutes)} late`,
  // in the list of shots
  listed: { now: "now", next: "next", late: (minutes) => `${span(minutes)} late`, at: (slot) => `at ${slot.hero_words}` },
};

/** Photographs that are added on the page. */
export const ADDING = {
  counted: (done, total, refused) => `${done} of ${total} in${refused ? `, ${refused} not added` : ""}`,
};

/** On the part of the frame that is shown enlarged. */
export const SPOT = "100 %";

/** How long the light lasts. */
export const LIGHT = {
  steady: "light steady",
  none: "no good light",
  gone: "light gone",
  today: "today: ",
  from: (moment) => `light from ${kitchenHour(moment)}`,
  until: (moment) => `light to ${kitchenHour(moment)}`,
  minutes: (minutes) => `${minutes} min light`,
};

/** Of a press, and why it does nothing. */
export const PRESS = {
  names: { keep: "Keep", again: "Again", undo: "Undo", next: "Next shot" },
  nothingToKeep: "No frame to keep yet.",
  noFrame: "No frame yet.",
  chart: "This is a colour chart. If it is a picture, say its shot under More.",
  nothingToTakeBack: "Nothing to take back.",
  onlyThese: (shots) => `No other shot is left to keep: only ${shots.map(spoken).join(", ")}.`,
  lost: "Not connected, so nothing can be saved now.",
  newFrame: "A new frame has just come in. Look, then press.",
  newShot: "The shot has just changed. Look, then press.",
  keptAlready: "Kept already.",
  againAlready: "Again: noted already.",
  takenBack: (what) => `Taken back: ${what}.`,
};

/** On the sheet behind More. */
export const SHEET = {
  noFrame: "No frame of this shot yet.",
  frameOf: (name, shot, guessed) =>
    `${name}, ${!shot ? "without a shot" : guessed ? `probably of ${spoken(shot)}: say which` : `of ${spoken(shot)}`}`,
  burst: (place, reason) => `Of a burst, ${place}.${reason ? ` ${reason}` : ""}`,
  layer: ["Keep as layer", "Kept as a layer"],
  testFrame: ["Make it the test frame", "The test frame"],
  lampCheck: ["Check for a lamp: one frame with lamps off", "Waiting for one frame with lamps off"],
  greyCard: "A grey card is in this frame",
  whichShot: "Which shot is it of?",
  anotherShot: "It is of another shot",
  yes: (shot) => `Yes, ${spoken(shot)}`,
  andMore: (files) => `And ${files} more.`,
  layerNumber: (number) => `Layer ${number}`,
  now: (frame) => `Now: ${frame}`,
  shotLine: (shot, frames, done) => `${spoken(shot)}: ${count(frames, "frame")}${done ? ", done" : ""}`,
  shootNow: ["Shoot this now", "Now"],
  otherDay: (day, shots) => `${day}: ${count(shots, "shot")}`,
  add: {
    button: "Add a shot", what: "What is in it?", from: "From where?", sharp: "What is sharp?", make: "Add it and shoot it now",
    angles: { overhead: "Straight down", "three-quarter": "At an angle", "straight-on": "From the side" },
    sharps: { hero: "The dish, front to back", front: "Its front only", plane: "Everything flat on the table" },
    noName: "Say what is in the picture, in a word or two.",
  },
  noLight: "Not known yet.",
  noKey: "no key",
  change: "Change",
  changeFor: (press) => ` the key for ${press}`,
  pressKey: "Press the key or pedal now",
  sound: ["Sound is off", "Sound is on"],
  range: (low, high) => `Write a number from ${low} to ${high}.`,
  noFilling: "This browser cannot fill the screen.",
  sizes: (metres, small, middle, large) => `Text for ${metres} m: ${small}, ${middle} and up to ${large} px.`,
  tooSmall: (metres) => ` This screen is too small for that: read it from ${metres.toFixed(1)} m.`,
};

/** What is on two disks, while nothing is named. */
export const SAFE = {
  none: "Originals are on one disk only. Name a folder on a second disk, and each is copied there as it lands.",
  card: ["From the memory card by itself: name its folder once, under On two disks.",
    "From the memory card by itself, each time you put it in."],
};

/** Before the set is cleared. */
export const CLEARING = {
  looking: "Looking at the frames you kept …",
  state: (shot) => (shot.complete ? "complete" : shot.needs_dish ? "needs the dish" : "not complete"),
};

/** While the grey card is marked. */
export const CARD = {
  cross: (across, down) => `Cross at ${Math.round(across * 100)} % across, ${Math.round(down * 100)} % down.`,
  known: "The box is read as the grey card.",
  reading: "Reading …",
  marked: (found) => `${found} Marked: later frames are read there too, while the grey card is there.`,
  takenBack: "Taken back.",
};

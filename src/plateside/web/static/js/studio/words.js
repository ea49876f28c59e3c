// What the Studio page says by itself: names of what is drawn, what happened to a change, notes beside the
// fields.

/** Of the page as a whole, and of changes. */
export const SAID = {
  every: "Every change is saved.",
  saving: "Saving",
  saved: "Saved.",
  notSaved: "Not saved.",
  open: (fields) => `Not saved: ${fields.join(", ")}.`,
  takenOut: (name) => `${name}: removed.`,
  it: "It",
  undo: "Undo",
  undone: "Undone.",
  nothingToUndo: "Nothing to undo.",
  elsewhere: "The studio was changed elsewhere. This is how it is now.",
  broken: "The file was changed elsewhere and cannot be read now. The drawing is from before. ",
  seeFix: "See what to fix",
  show: "Show it",
};

/** Of the plan. */
export const PLAN = {
  something: "Something outside",
};

/** Of a new thing that has no place. */
export const NEW = {
  noWindow: "You have no window yet to see it from.",
  noSpot: "You have no table spot yet to take the reading at.",
  noWall: "Every wall is full of windows. Make one of them smaller first.",
};

/** Beside the plan. */
export const PANEL = {
  front: "The way the front wall faces",
  frontHead: "Which way the front wall faces",
  turns: "The whole room turns with it, and every window.",
  walls: "How light floor, ceiling and walls are",
  boards: "Boards are placed for a shot: choose a table spot in the plan, and drag its boards round the dish.",
  unnamed: "without a name",
  remove: "Remove",
};

/** Of fields. */
export const FIELDS = {
  of: (label, thing) => `${label} of ${thing || "what has no name"}`,
  room: "the room",
  place: "the place",
  usually: (value) => `; usually ${value}`,
  byEye: (title) => `${title}, chosen by eye`,
  missing: (label, meaning) => `${label} is missing: ${meaning}.`,
  changed: (value) => `Changed elsewhere to ${value || "nothing"}.`,
  changedMeanwhile: "Not saved: something else was changed elsewhere meanwhile.",
  mine: "Use mine",
  use: (value) => `Use ${value || "nothing"}`,
  write: (value) => `Write ${value}`,
  leave: (value) => (value ? `Leave it at ${value}` : "Leave it empty"),
  middle: "in the middle",
};

/** Of gear: the list's head, what to know, what its button does. */
export const GEAR = {
  cameras: ["Cameras", "The first is used unless a shot names another.", "Add a camera"],
  lenses: ["Lenses", "", "Add a lens"],
  supports: ["Supports",
    "The maker’s load limit comes before any sum. Weigh down an arm’s tripod, and keep hands and food from under it.", "Add a support"],
  surfaces: ["Surfaces", "", "Add a surface"],
  props: ["Props", "", "Add a prop"],
  readings: ["Light readings",
    "Light you measured here. From three readings on, Plateside can fit the studio to your room.",
    "Add a reading"],
};

/** Of a new reading. */
export const READING = {
  lux: "Type the lux you read: the meter's own number, on the table where the dish goes, lamps off.",
  sky: "Choose the sky you had: the same lux mean something else under another sky.",
  title: "A new reading",
  keep: "Keep this reading",
  leave: "Discard it",
};

/** Of the grey card. */
export const CARD = {
  head: "Read it from a grey card’s raw",
  how: "Lay the grey card flat where the dish goes, lamps off, and fill the middle of the frame with it.",
  frame: "The frame",
  other: "The grey card is elsewhere in the frame, or is not 18 % grey",
  patch: ["Its left edge", "Its upper edge", "Its width", "Its height"],
  reflects: "Light the grey card reflects",
  read: "Read the grey card",
  reading: "Reading the raw.",
  percent: "Write the grey card’s place and the light it reflects as percentages, 0 to 100.",
  found: (evidence, lux, stops, timed) =>
    `${evidence}: ${lux} lx, give or take ${stops} stops${timed ? "" : "; the frame does not say when you took it: write that above"}.`,
  noRaw: "There is no raw in this shoot yet. A JPEG will not do: the camera has already changed its brightness.",
};

/** Of a fit to the readings. */
export const FIT = {
  begin: "Fit the studio to them",
  forget: "Drop the fit",
  stop: "Stop",
  keep: "Keep this fit",
  leave: "Discard it",
  bar: "Fitting the studio to your readings",
  kept: (date, count, light, lift, surfaces) =>
    `Fitted${date ? ` on ${date}` : ""} to ${count} readings: light × ${light}, skyline ${Math.abs(lift).toFixed(0)}° ${lift < 0 ? "lower" : "higher"}, surfaces × ${surfaces} as light.`,
  more: (fewest, lacking) =>
    `A fit needs ${fewest} readings or more, best at different hours and skies: ${lacking} more to go.`,
  none: "The studio is not fitted to them yet.",
  again: (count) => `There are ${count} readings now: fit again.`,
  changed: "The studio has changed meanwhile: fit again.",
  going: "Computing the light of each reading, in rooms a little lighter and darker.",
};

/** Of boards round a dish. */
export const BOARDS = {
  head: "Boards round the dish",
  sides: { left: "left", right: "right", far: "far side", near: "near side" },
  behind: (board = "It") =>
    `${board} stands behind the camera, on your side: you and the tripod are between it and the dish. A board fills from the left, the right or the far side.`,
  named: (board) => `The ${board} board`,
  on: (board, shot, away, side, wide) =>
    `Board ${board} of ${shot}: ${away} from the dish, ${side} seen from the camera, ${wide} wide. Arrow keys move it.`,
  removed: (board) => `The ${board} board: removed.`,
  toFix: ["The boards belong to the shoot, and its file has something to fix first. ", "Look at it", "."],
  noShot: ["Boards are placed for a shot, and there is none yet. ",
    "Add a shot on the Plan page", ", then drag its boards here."],
  noShotHere: ["No shot uses this table spot. Choose another spot, or give a shot this one ",
    "on the Plan page", "."],
  ofShot: "Of the shot",
  ofThisShot: (shot) => `Of the shot ${shot}.`,
  how: "Left and right are seen from the camera, drawn as a dot. Drag a board round the dish, or choose it and use the arrow keys.",
  none: "The studio has no board yet: add one below the plan.",
  add: "Stand a board here",
  range: (low, high) => `A board goes ${low} to ${high} m from the dish.`,
  group: (n) => `Board ${n} of the shot`,
  board: "Board",
  side: "Side",
  away: "From the dish",
  remove: (board) => `Remove the ${board} board`,
};

/** Of a window's bearing by the sun. */
export const SUN = {
  head: "Which way it faces, by the sun",
  how: "Note when the sun first or last touched the wall beside the window, or where a corner of its patch was. Left and right are seen from inside. Times are the studio’s own.",
  danger: "Never look at the sun, least of all through a lens or a finder: watch the edge of the light.",
  seen: [
    ["left", "it grazed the wall, from the left"], ["right", "it grazed the wall, from the right"],
    ["top-left", "its patch: the top left corner"], ["top-right", "its patch: the top right corner"],
    ["bottom-left", "its patch: the bottom left corner"],
      ["bottom-right", "its patch: the bottom right corner"],
  ],
  where: ["Along the wall, from its left end", "From the wall", "Above the floor"],
  when: "When",
  what: "What the sun did",
  note: "A note",
  another: "Another note",
  remove: "Remove this note",
  find: "Find it from the sun",
  turn: (degrees) => `Turn the room by ${degrees}°`,
  turned: (degrees) => `The window faces ${degrees}° now. Undo takes it back.`,
  noTime: "Write the day and the time.",
  metres: "Write metres as 1.2.",
};

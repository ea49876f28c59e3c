// What the Deliver page says by itself: names of its parts, and what it measures while you drag.
import { plural, size } from "../core/words.js";

const percent = (share) => `${Math.round(share * 100)} %`;

/** Of the page. */
export const SAID = {
  make: "Make the delivery",
  making: (at, total) => (at >= total ? "Writing the page …" : `Crop ${at + 1} of ${total - 1 || 1}`),
  pack: "Pack",
  check: "Check every file",
  file: (at, total) => `File ${at} of ${total}`,
  blocks: "Fix first: ",
  remark: "Remark: ",
  nothing: "nothing yet",
  packed: {
    delivery: "the delivery, to hand over",
    channel: (name) => `only ${name}, for one client`,
    archive: "everything, to keep",
  },
  delivery: "the delivery",
  table: ["File", "Pixels", "Size"],
  files: (count, bytes) => ` ${plural(count, "file")}, ${size(bytes)}`,
  documents: "Page, words and lists",
  documentFiles: (count) => ` ${plural(count, "file")}`,
  pixels: (wide, high) => `${wide} × ${high}`,
};

/** Of one picture. */
export const PICTURE = {
  channels: (shot) => `Channels of ${shot}`,
  planned: "Planned crop again",
  whole: (shot) => `${shot}, the whole picture`,
  notFinished: (frame) => `${frame}, not finished yet`,
  photograph: "Photograph it",
  choose: ["Choose a select", ", then "],
  finish: { now: "Finish the series", then: "finish the series" },
  crops: ["No channel yet", "Crops to come"],
  finding: "Finding the dish …",
  yours: " your crop",
  undo: "Undo",
  gives: (wide, high, channel, enough) => {
    const asked = SAID.pixels(channel.width_px, channel.height_px), given = SAID.pixels(wide, high);
    return `${given} pixels; delivered at ${enough ? asked : `${given}, not the ${asked} you asked for`}.`;
  },
};

/** Where each note leads. */
export const LINKS = {
  "left out": ["/plan#shot-{shot}", "Change that"],
  "held back": ["#releases", "Tick it"],
  "another select": ["/finish", "Finish again"],
  "take again": ["/choose", "Choose another"],
};

/** Of the crop and of the mark of the dish, as they are moved. */
export const CROP = {
  corners: { nw: "Upper left", ne: "Upper right", sw: "Lower left", se: "Lower right" },
  text: "text",
  dish: ["the dish (a guess)", "the dish"],
  how: "Arrow keys move it, plus and minus make it larger and smaller.",
  /** @type {(box: number[]) => string} */
  dishAt: ([x, y, w, h]) =>
    `The dish: ${percent(x)} from the left, ${percent(y)} from the top, ${percent(w)} wide, ${percent(h)} high. ${CROP.how}`,
  /** @type {(channel: string, box: number[]) => string} */
  cropAt: (channel, [x, y, w]) =>
    `Crop for ${channel}: ${percent(x)} from the left, ${percent(y)} from the top, ${percent(w)} wide. ${CROP.how}`,
};

/** Of the place of the dish in numbers. */
export const DISH = {
  move: ["Move it", "Done"],
  found: "Where it was found",
  sides: ["From the left, %", "From the top, %", "Wide, %", "High, %"],
  numbers: (shot) => `Where the dish is in ${shot}, as percentages of the picture`,
  range: "Between 0 and 100.",
  edge: "It ends at the edge.",
};

/** Of title, caption and alt text. */
export const WORDS = {
  fields: { title: "Title", caption: "Caption", alt_text: "Alt text" },
  meanwhile: (alt) => `Meanwhile: ${alt}`,
  characters: (count) => `${count} characters`,
  ofCharacters: (count, aim) => `${count} of ${aim} characters`,
  saved: (said) => `${said} Saved.`,
  theirs: (text) => `Written on another screen meanwhile: “${text}”`,
  useThat: "Use that",
  keepMine: "Keep mine",
};

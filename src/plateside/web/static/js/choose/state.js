// The shoot's frames on this page: drawn from the server once, then kept right by the journal's rows as they
// come.
/** @import { SheetsShown } from "../core/facts" */
import { on } from "../core/live.js";
import { press, takeBack } from "../core/press.js";
import { reading } from "../core/reading.js";
import { say } from "../core/say.js";
import { make } from "../core/dom.js";
import { PANEL } from "./words.js";

const GUESSED = 1, TEST_FRAME = 2, SEEN = 4, BURST = 8, BURSTS = ["", "one", "best", "yours"],
  CHART = 32;
const WORTH_JOINING = 12;
/** Rows of which the page does not know all by itself. */
const READ_ANEW = ["frame belongs", "frame landed", "frame renamed", "undo", "set card", "test frame",
  "burst", "best", "chart seen"];

/** Changed is called with "all", or with the ids of the frames that are other than before. */
export class Frames {
  constructor(given, changed) {
    this.changed = changed;
    this.title = "";
    /** @type {SheetsShown["shots"]} */
    this.shots = [];
    /** @type {SheetsShown["strips"]} */
    this.strips = [];
    this.cells = 1;
    /** @type {Map<string, any>} */
    this.frames = new Map();
    this.take(given);
    this.drawn = this.#drawing();
    on("row", (row) => this.row(row));
    this.afresh = reading("/choose/sheets", (sheets, rows) => {
      this.take(sheets);
      for (const row of rows) this.#apply(row);
      const now = this.#drawing();
      this.changed(now === this.drawn ? [...this.frames.keys()] : "all");
      this.drawn = now;
    }, { ms: 60 });
    on("connected", () => this.afresh());
  }

  /**
   * The server's short form: a row of numbers and names for each frame, in order of landing.
   * @param {SheetsShown} sheets
   */
  take({ title, shots, words, pressed, acts, frames, strips, cells, style }) {
    const before = this.frames;
    this.title = title;
    this.shots = shots;
    this.strips = strips;
    this.cells = cells;
    this.frames = new Map(frames.map(([id, name, shot, word, act, press, more], place) => {
      const there = Boolean(more & SEEN);
      return [id, {
        id, name, place, shot: shots[shot]?.name || "",
          word: words[word], act: acts[act], pressed: pressed[press],
        guessed: Boolean(more & GUESSED), testFrame: Boolean(more & TEST_FRAME),
          thumbnail: there || Boolean(before.get(id)?.thumbnail), joined: there,
        burst: BURSTS[Math.floor(more / BURST) % BURSTS.length], chart: Boolean(more & CHART),
      }];
    }));
    this.#styled(style);
  }

  /** All that the sheets show but the small pictures: while it is the same, no card has another place. */
  #drawing() {
    return JSON.stringify([this.shots, [...this.frames.values()].map((frame) =>
      ({ ...frame, thumbnail: null, joined: null }))]);
  }

  /** The name of the joined picture in which this frame's stands, or "". */
  strip(frame) { return frame.joined ? this.strips[Math.floor(frame.place / this.cells)] : ""; }

  /** Which small pictures wait to be joined: "" when there are too few to be worth it. */
  alone() {
    const count = new Map();
    for (const frame of this.frames.values()) {
      if (!frame.thumbnail || this.strip(frame)) continue;
      const n = Math.floor(frame.place / this.cells);
      count.set(n, (count.get(n) || 0) + 1);
    }
    return [...count].filter(([, many]) => many >= WORTH_JOINING).join(" ");
  }

  /** Strips have been made: what is drawn from now on stands in them. */
  joined() { return this.afresh(); }

  #styled(style) {
    const old = document.getElementById("strips-style"), href = `/choose/strips/${style}.css`;
    if (!style || old?.getAttribute("href") === href) return;
    const link = make("link", { rel: "stylesheet", id: "strips-style", href, onload: () => old?.remove() });
    if (old) old.id = "";
    document.head.append(link);
  }

  shot(name) { return this.shots.find((s) => s.name === name); }

  of(name) { return [...this.frames.values()].filter((f) => f.shot === name); }

  /** select, alternate or nothing. */
  part(frame) {
    const shot = this.shot(frame.shot);
    return !shot ? "" : shot.select === frame.id ? "select" : shot.alternate === frame.id ? "alternate" : "";
  }

  row(row) {
    if (READ_ANEW.includes(row.kind)) this.afresh();
    else this.changed(this.#apply(row).filter((id) => this.frames.has(id)));
  }

  /** What a row changes at once. Gives back the frames that are other than before. */
  #apply({ kind, data }) {
    const frame = this.frames.get(data.frame), shot = this.shot(data.shot);
    const others = [];
    switch (kind) {
      case "verdict": if (frame) { frame.word = data.word; frame.act = data.act; } break;
      case "judge again": if (frame) { frame.word = ""; frame.act = PANEL.beingJudged; } break;
      case "kept": case "again": if (frame) frame.pressed = kind; break;
      case "select":
        if (shot) {
          others.push(shot.select);
          shot.select = data.frame;
          if (shot.alternate === data.frame) shot.alternate = "";
        }
        break;
      case "alternate": if (shot) { others.push(shot.alternate); shot.alternate = data.frame; } break;
      default: return [];
    }
    return [data.frame, ...others];
  }

  /** One decision; what stands on the page follows when its row is written. */
  async press(kind, data) {
    try {
      const reply = await press(kind, data);
      this.row({ kind, data: reply.data });
      say(reply.said, { words: "Undo", do: () => this.undo() });
      return true;
    } catch (error) {
      if (error.reply?.row) this.afresh();
      say(error.message, null, 9000);
      return false;
    }
  }

  async undo() {
    try {
      const reply = await takeBack();
      say(reply.said);
      await this.afresh();
    } catch (error) {
      if (error.reply?.row) this.afresh();
      say(error.message, null, 9000);
    }
  }
}

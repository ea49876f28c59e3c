// The shoot's frames on this page: drawn from the server once, then kept right by the journal's rows as they
// come.
/** @import { SheetsShown } from "../core/facts" */
import { ask } from "../core/ask.js";
import { on, sawRow } from "../core/live.js";
import { press, takeBack } from "../core/press.js";
import { say } from "../core/say.js";
import { make, settled } from "../core/dom.js";
import { PANEL } from "./words.js";

const GUESSED = 1, TEST_FRAME = 2, SEEN = 4, BURST = 8, BURSTS = ["", "one", "best", "yours"];
const WORTH_JOINING = 12;

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
    on("row", (row) => this.row(row));
    this.afresh = settled(60, async () => {
      try {
        this.take(await ask("/choose/sheets"));
        this.changed("all");
      } catch { /* the next row tries again */ }
    });
    on("connected", () => this.afresh());
  }

  /**
   * The server's short form: a row of numbers and names for each frame, in order of landing.
   * @param {SheetsShown} sheets
   */
  take({ row, title, shots, words, pressed, acts, frames, strips, cells, style }) {
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
        burst: BURSTS[Math.floor(more / BURST)],
      }];
    }));
    this.#styled(style);
    sawRow(row);
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
  async joined() {
    this.take(await ask("/choose/sheets"));
    this.changed([...this.frames.keys()]);
  }

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

  row({ kind, data }) {
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
      case "frame belongs": case "frame landed": case "frame renamed": case "undo": case "set card": case "test frame": case "burst": case "best":
        this.afresh();
        return;
      default: return;
    }
    this.changed([data.frame, ...others].filter((id) => this.frames.has(id)));
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
      this.take(await ask("/choose/sheets"));
      this.changed("all");
    } catch (error) {
      if (error.reply?.row) this.afresh();
      say(error.message, null, 9000);
    }
  }
}

// The shoot's frames on this page: drawn from the server once, then kept right by the journal's rows as they come.
import { ask, tell } from "./core/ask.js";
import { on, sawRow, seenRow } from "./core/live.js";
import { say } from "./core/say.js";
import { settled } from "./core/dom.js";

/** Changed is called with "all", or with the ids of the frames that are other than before. */
export class Frames {
  constructor(given, changed) {
    this.changed = changed;
    this.take(given);
    on("row", (row) => this.row(row));
    this.afresh = settled(60, async () => {
      try { this.take(await ask("/choose/sheets")); this.changed("all"); } catch { /* the next row tries again */ }
    });
    on("connected", () => this.afresh());
  }

  take(given) {
    this.title = given.title;
    this.shots = given.shots;
    const seen = this.frames ? new Set([...this.frames.values()].filter((f) => f.seen).map((f) => f.id)) : new Set();
    this.frames = new Map(given.frames.map((f) => [f.id, seen.has(f.id) ? { ...f, seen: true } : f]));
    sawRow(given.row);
  }

  shot(name) { return this.shots.find((s) => s.name === name); }

  of(name) { return [...this.frames.values()].filter((f) => f.shot === name); }

  /** hero, alternate or nothing. */
  part(frame) {
    const shot = this.shot(frame.shot);
    return !shot ? "" : shot.hero === frame.id ? "hero" : shot.alternate === frame.id ? "alternate" : "";
  }

  row({ kind, data }) {
    const frame = this.frames.get(data.frame), shot = this.shot(data.shot);
    const others = [];
    switch (kind) {
      case "verdict": if (frame) { frame.word = data.word; frame.act = data.act; } break;
      case "kept": case "again": if (frame) frame.pressed = kind; break;
      case "hero":
        if (shot) {
          others.push(shot.hero);
          shot.hero = data.frame;
          if (shot.alternate === data.frame) shot.alternate = "";
        }
        break;
      case "alternate": if (shot) { others.push(shot.alternate); shot.alternate = data.frame; } break;
      case "frame belongs": case "frame landed": case "frame renamed": case "undo": case "set card": case "reference":
        this.afresh();
        return;
      default: return;
    }
    this.changed([data.frame, ...others].filter((id) => this.frames.has(id)));
  }

  /** One decision; what stands on the page follows when its row is written. */
  async press(kind, data) {
    try {
      const told = await tell("/press", { kind, data, seen: seenRow() });
      this.row({ kind, data: told.data });
      sawRow(told.row);
      say(told.said, { words: "Undo", do: () => this.undo() });
      return true;
    } catch (error) {
      if (error.told?.row) { sawRow(error.told.row.n); this.afresh(); }
      say(error.message, null, 9000);
      return false;
    }
  }

  async undo() {
    try {
      const told = await tell("/press/undo", { seen: seenRow() });
      if (told.row) sawRow(told.row);
      say(told.said);
      this.take(await ask("/choose/sheets"));
      this.changed("all");
    } catch (error) {
      if (error.told?.row) { sawRow(error.told.row.n); this.afresh(); }
      say(error.message, null, 9000);
    }
  }
}

// Small pictures that are not there yet are made in small lots, the nearest first, and joined to strips.
import { work } from "../core/ask.js";

const AT_ONCE = 24;

export class SmallPictures {
  /**
   * box(id): where a frame's card stands in the window, or undefined while it has none.
   * made(ids): these frames' small pictures are there now, or refused.
   */
  constructor(frames, { box, made }) {
    this.frames = frames;
    this.box = box;
    this.made = made;
    this.wanted = new Set();
    this.refused = new Set();
  }

  need(ids) {
    for (const id of ids) if (!this.frames.frames.get(id).thumbnail
      && !this.refused.has(id)) this.wanted.add(id);
    if (this.wanted.size && !this.making) this.#makeSome();
  }

  async #makeSome() {
    this.making = true;
    while (this.wanted.size) {
      const middle = innerHeight / 2;
      const far = (id) => {
        const box = this.box(id);
        return box ? Math.abs(box.top - middle) : 1e9;
      };
      const lot = [...this.wanted].map((id) => [far(id), id])
        .sort((a, b) => a[0] - b[0]).slice(0, AT_ONCE).map(([, id]) => id);
      for (const id of lot) this.wanted.delete(id);
      let failed = [];
      try { failed = await work("/choose/pictures", { frames: lot }); } catch { failed = lot; }
      for (const id of lot) {
        const frame = this.frames.frames.get(id);
        if (failed.includes(id)) this.refused.add(id);
        else if (frame) frame.thumbnail = true;
      }
      this.made(lot);
    }
    this.making = false;
    this.join();
  }

  /** Small pictures that stand alone are joined by the strip, for the next rows and the next time. */
  async join() {
    const alone = this.frames.alone();
    if (!alone || alone === this.joined || this.making || this.joining) return;
    this.joined = alone;
    this.joining = true;
    try {
      await work("/choose/strips", {});
      await this.frames.joined();
    } catch { /* single pictures do as well */ }
    this.joining = false;
  }
}

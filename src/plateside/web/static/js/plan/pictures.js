// Planned pictures, drawn one after another in the background: a rough one of each shot first, then a clean
// one of each; of these the shot that was changed last, then those in sight.
import { make } from "../core/dom.js";
import { tell, work } from "../core/ask.js";
import { PICTURE, SHOT } from "./words.js";

const QUALITIES = ["rough", "clean"];

/** Draws what the newest day wants and tells each card. */
export class Pictures {
  /**
   * show(shot, {src, quality, words, key}), progress(shot, words, share), stale(): the day must be asked
   * again; inSight(shot): how much it is looked at.
   */
  constructor({ show, progress, stale, inSight }) {
    this.show = show;
    this.inSight = inSight;
    this.progress = progress;
    this.stale = stale;
    this.wanted = new Map();
    /** @type {any} */
    this.running = null;
    this.failed = new Map();
    // the renderer starts while the day is worked out: the first picture need not wait for it
    tell("/plan/ready", {}).catch(() => {});
  }

  /** The day's pictures: [{shot, key}], and which are drawn: {key: {quality: words}}. */
  want(shots, drawn) {
    const before = this.wanted;
    this.wanted = new Map();
    for (const { shot, key } of shots) {
      const known = before.get(shot);
      const entry = known && known.key === key ? known
        : { shot, key, has: {}, since: known ? performance.now() : 0 };
      Object.assign(entry.has, drawn[key] || {});
      this.wanted.set(shot, entry);
      this.#show(entry);
      if (!("rough" in entry.has) && !("clean" in entry.has)
        && !this.failed.has(key) && this.running?.key !== key) this.progress(shot, PICTURE.waits, NaN);
    }
    const { running } = this;
    if (running) {
      const gone = this.wanted.get(running.shot)?.key !== running.key;
      const rough = [...this.wanted.values()].some((one) => !("rough" in one.has) && !("clean" in one.has));
      // a changed shot's rough picture does not wait for another's clean one
      if (gone || (rough && running.quality === "clean")) {
        running.dropped = true;
        running.job.stop()?.catch?.(() => {});
      }
    }
    this.#next();
  }

  #show(one) {
    const quality = "clean" in one.has ? "clean" : "rough" in one.has ? "rough" : "";
    if (quality) this.show(one.shot,
      { key: one.key, quality, src: `/plan/picture/${one.key}/${quality}.jpg`, words: one.has[quality] });
  }

  #pick() {
    const all = [...this.wanted.values()].filter((one) => !this.failed.has(one.key))
      .map((one) => ({ ...one, seen: this.inSight(one.shot) }))
      .sort((a, b) => b.since - a.since || b.seen - a.seen);
    for (const quality of QUALITIES) {
      const found = all.find((one) => !(quality in one.has) && !("clean" in one.has));
      if (found) return { ...found, quality };
    }
    return null;
  }

  async #next() {
    if (this.running) return;
    const next = this.#pick();
    if (!next) return;
    const { shot, key, quality } = next;
    this.progress(shot, PICTURE.going[quality], 0);
    const job = work("/plan/picture", { shot, key, quality }, (news) => {
      if (news.state === "running" && this.wanted.get(shot)?.key === key) {
        this.progress(shot, PICTURE.going[quality], news.total ? news.done / news.total : 0);
      }
    });
    this.running = { shot, key, quality, job, dropped: false };
    try {
      const done = await job;
      const one = this.wanted.get(shot);
      if (one?.key === key) {
        one.has[quality] = done.words;
        this.#show(one);
        this.progress(shot, "", 0);
      }
    } catch (error) {
      if (error.status === 409) {
        // stopped by us, or by the server because the files changed: a new day says what is wanted
        if (!this.running.dropped) {
          this.failed.set(key, "stopped");
          setTimeout(() => { this.failed.delete(key); this.#next(); }, 4000);
          this.stale();
        }
      } else {
        this.failed.set(key, error.message);
        if (this.wanted.get(shot)?.key === key) this.progress(shot, error.message, -1);
      }
    }
    this.running = null;
    this.#next();
  }
}

/** The place of a planned picture in a card. */
export function pictureFigure(shot, title) {
  const image = make("img", { alt: "", width: 560, height: 372, hidden: true });
  const words = make("p", { class: "picture-words" }, PICTURE.comes);
  const bar = make("progress", { max: 1, value: 0, "aria-label": PICTURE.of(shot), hidden: true });
  const caption = make("figcaption", { class: "soft small" });
  const frame = make("div", { class: "picture-frame" },
    image, make("div", { class: "picture-told" }, words, bar));
  const element = make("figure", { class: "test-picture" }, frame, caption);
  // the same picture, small, in the shot's row: it says nothing that the row does not
  const small = make("img", { alt: "", hidden: true });
  const thumb = make("span", { class: "shot-thumb", "aria-hidden": "true" }, small);
  return {
    element, thumb,
    shape(wide, high) { element.classList.remove("none"); frame.style.aspectRatio = `${wide} / ${high}`; },
    show({ src, quality, words: drawn }) {
      if (image.getAttribute("src") !== src) {
        image.src = src;
        small.src = src;
        image.alt = PICTURE.alt(title() || shot);
      }
      image.hidden = false;
      small.hidden = false;
      element.dataset.quality = quality;
      caption.textContent = PICTURE.caption(drawn);
      words.textContent = "";
    },
    progress(said, share) {
      words.textContent = said && !(share < 0) && element.dataset.quality === "stale"
        ? SHOT.planning[1] : said;
      bar.hidden = !(share >= 0 && said);
      bar.value = share > 0 ? share : 0;
      element.classList.toggle("failed", share < 0);
    },
    stale() {
      if (!image.hidden) { words.textContent = SHOT.planning[1]; element.dataset.quality = "stale"; }
    },
    current(quality) { element.dataset.quality = quality; },
    none(said) {
      element.classList.add("none");
      frame.style.aspectRatio = "auto";
      for (const each of [image, small]) {
        each.hidden = true;
        each.removeAttribute("src");
      }
      caption.textContent = "";
      words.textContent = said;
      bar.hidden = true;
    },
  };
}

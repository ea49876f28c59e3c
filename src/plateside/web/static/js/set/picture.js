// The frame on the screen: as dark as its neighbourhood wants it, with what to change drawn over it.
/** @import { LastFrame } from "../core/facts" */
import { make, one } from "../core/dom.js";
import { keptRoom } from "../closer/kept.js";
import { mask } from "../closer/plane.js";
import { layMarks, luminance } from "./marks.js";
import { Spot } from "./spot.js";

const PICTURE_SHARE = { dark: 0.009, lit: 0.04 }, BRIGHTEST = { dark: 0.5, lit: 0.8 }, JUDGED_FIRST_MS = 400;

export class Picture {
  #timer = 0;
  /** @type {any} */
  #lost = null;

  /** about: now() what the page knows, marks() what is drawn on its frame, loaded() when it is there. */
  constructor(about) {
    this.about = about;
    this.look = one("#look");
    this.svg = one("#marks");
    // made here: a picture without an address is no HTML, and lazily loaded it does not hold the page up
    this.image = make("img", { id: "picture", alt: "", loading: "lazy", decoding: "async" });
    one("#drawn").prepend(this.image);
    this.spot = new Spot(one("#drawn"));
    this.image.addEventListener("load", () => {
      if (this.image.src.includes(this.image.dataset.frame)) this.image.style.visibility = "";
      this.image.dataset.light = luminance(this.image);
      about.loaded();
    });
  }

  /**
   * Show a frame, or none; whether it is another one than before.
   * @type {(frame: LastFrame | null) => boolean}
   */
  show(frame) {
    this.look.hidden = !frame;
    this.spot.show(frame);
    if (!frame || this.image.dataset.frame === frame.id) return false;
    this.image.dataset.frame = frame.id;
    // the frame before must not stand beside this one's word
    this.image.style.visibility = "hidden";
    clearTimeout(this.#timer);
    const show = () => { if (this.image.dataset.frame === frame.id) this.load(frame.id); };
    // while a frame is being judged the machine has better things to do for a moment
    if (frame.word) show(); else this.#timer = setTimeout(show, JUDGED_FIRST_MS);
    return true;
  }

  load(frame) { this.image.src = `/frames/${frame}/view.jpg`; }

  /** What to change, drawn where the picture now stands. */
  lay() {
    const { image } = this;
    if (!image.naturalWidth || this.look.hidden) return;
    const now = this.about.now(), marks = this.about.marks();
    const share = image.clientWidth * image.clientHeight / (innerWidth * innerHeight) || 0.25;
    const bright = Math.max(Number(image.dataset.light) || 0.3, 0.01);
    // the page's mean stays under a twentieth whatever the frame: dimmed by how bright and how large it is
    const room = keptRoom(), dim =
      Math.min(BRIGHTEST[room], Math.max(0.1, (PICTURE_SHARE[room] / (share * bright)) ** (1 / 2.2)));
    document.body.style.setProperty("--dim", dim.toFixed(3));
    const built = now.shots.some((s) => s.name === now.current && s.layers.length);
    // a scene built in layers always shows what the last step did
    const changed = built ? marks.changed.map((m) => ({ ...m, asked: true })) : marks.changed;
    const drawn = now.frame?.pressed === "kept" ? [] : [...marks.marks, ...changed];
    layMarks(this.svg, image, drawn.filter((mark) => mark.kind !== "lost"), true);
    this.#layLost(drawn.some((mark) => mark.kind === "lost" && mark.asked) ? marks.frame : "");
  }

  /** Where an act is about lost highlights, what is clipped is hatched itself, and not a box about it. */
  #layLost(frame) {
    if (this.#lost?.dataset.frame !== frame) {
      this.#lost?.remove();
      this.#lost = null;
      if (!frame) return;
      this.#lost = mask("any", `/set/closer/${frame}/any.png`);
      this.#lost.dataset.frame = frame;
      this.#lost.style.cssText = this.#lost.dataset.mask;
      one("#drawn").append(this.#lost);
    }
    if (!this.#lost) return;
    const { offsetLeft: x, offsetTop: y, clientWidth: w, clientHeight: h } = this.image;
    Object.assign(this.#lost.style, { left: `${x}px`, top: `${y}px`, width: `${w}px`, height: `${h}px` });
  }
}

// A client's layout over the frame: chosen at the laptop, turned to its page, taken away.
/** @import { LayoutShown } from "../core/facts" */
import { ask, tell, tellBytes } from "../core/ask.js";
import { make, one } from "../core/dom.js";
import { Line } from "../core/line.js";
import { say } from "../core/say.js";
import { CLOSER } from "./words.js";

const STEPS = [0.35, 0.7, 1];

/** The next strength after one; 0 is off. */
export const stronger = (share) => STEPS.find((step) => step > share + 0.01) || 0;
export const FIRST = STEPS[0];

export class Layouts {
  /** @type {LayoutShown | null} */
  now = null;
  #changes = new Line();

  /** changed(): there is another one. */
  constructor(changed) {
    this.changed = changed;
    this.input = one("#layout-file");
    this.mayChoose = this.input.dataset.may === "yes";
    this.input.addEventListener("change", () => {
      const [file] = this.input.files;
      this.input.value = "";
      if (file) this.#bring(file);
    });
  }

  async of(shot) {
    if (this.now?.shot === shot) return;
    this.now = null;
    const { begun } = this.#changes, found = await ask(path(shot));
    if (begun === this.#changes.begun) this.now = found;
  }

  get address() { return this.now?.key ? `${path(this.now.shot)}/${this.now.key}.png` : ""; }

  /** Choose a file, where that may be done. */
  choose(shot) {
    this.shot = shot;
    if (this.mayChoose) this.input.click(); else say(CLOSER.noLayout);
  }

  /** The strip beneath the frame: which it is, and what can be done with it. */
  strip(shot) {
    if (!this.now) return null;
    const { name, page, pages } = this.now, said = make("span", {}, CLOSER.layoutOf(name, page, pages));
    const press = (words, go, able = true, sign = words) =>
      make("button", { type: "button", "aria-label": words, title: words, disabled: !able, onclick: go }, sign);
    const turn = (to) => this.#tell(`${path(shot)}/page`, { page: to });
    return make("div", { class: "closer-card layout-strip" }, said, ...(this.mayChoose ? [
      ...(pages > 1 ? [press(CLOSER.before, () => turn(page - 1), page > 1, "‹"),
        press(CLOSER.after, () => turn(page + 1), page < pages, "›")] : []),
      press(CLOSER.another, () => this.choose(shot)),
      press(CLOSER.away, () => this.#tell(`${path(shot)}/away`, {})),
    ] : []));
  }

  async #bring(file) {
    say(CLOSER.reading, null, 30000);
    try {
      const to = `${path(this.shot)}/file?name=${encodeURIComponent(file.name)}`;
      await this.#change(() => tellBytes(to, file));
      say("");
      this.changed(true);
    } catch (error) { say(error.message, null, 12000); }
  }

  /**
   * In turn; a layout of the shot before is not laid over this one's.
   * @param {() => Promise<LayoutShown>} tells
   */
  #change(tells) {
    return this.#changes.add(async () => {
      const found = await tells();
      if (!this.now || this.now.shot === found.shot) this.now = found;
    });
  }

  async #tell(where, data) {
    try {
      await this.#change(() => tell(where, data));
      this.changed(false);
    } catch (error) { say(error.message, null, 9000); }
  }
}

const path = (shot) => `/set/layout/${encodeURIComponent(shot)}`;

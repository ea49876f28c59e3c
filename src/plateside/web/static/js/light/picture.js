// Planned pictures: rough first, then clean in its place; drawn in the background, stopped at a press.
import { work } from "../core/ask.js";
import { make, one } from "../core/dom.js";
import { letGo } from "../core/hold.js";
import { SAID } from "./words.js";

const WHAT = { boards: "sheer and boards", hours: "three hours", apertures: "three apertures" };

export class Pictures {
  /** choices(): the address's query; clock(): the hour looked at. */
  constructor({ choices, shot, clock }) {
    this.choices = choices;
    this.clock = clock;
    this.running = null;
    this.number = 0;
    /** Of which settings the page is, and the picture on it. */
    this.settings = this.shown = "";
    /** @type {HTMLSelectElement | null} */
    this.select = document.querySelector("#shot");
    if (!this.select) return;
    this.fits(shot());
    one("#draw").addEventListener("click", () => this.#draw());
    // it comes up where Draw was: the second half of a double click is not for it
    one("#stop").addEventListener("click", (event) => { if (event.detail < 2) this.running?.stop(); });
  }

  /** The shot that goes with what is asked. */
  fits(shot) { if (this.select && shot) this.select.value = shot; }

  /** The settings are these now: a picture of others is said to be one. */
  of(settings) {
    this.settings = settings;
    for (const line of one("#picture").querySelectorAll(".before")) line.hidden = this.shown === settings;
  }

  async #draw() {
    const at = this.clock();
    if (!at) return;
    const asked = { ...Object.fromEntries(this.choices()),
      at, shot: this.select?.value, what_if: one("#as").value };
    // pressed again while the same is drawn: it is on its way
    const what = JSON.stringify(asked);
    if (this.running && what === this.what) return;
    this.what = what;
    const mine = ++this.number, { settings } = this;
    this.running?.stop();
    const bar = one("#drawing-bar"), words = one("#drawing"), stop = one("#stop");
    stop.hidden = bar.hidden = false;
    try {
      for (const quality of ["rough", "clean"]) {
        bar.removeAttribute("value");
        words.textContent = quality === "rough" ? SAID.rough : SAID.clearing;
        this.running = work("/light/picture", { ...asked, quality }, (news) => { if (news.total) {
          bar.max = news.total;
          bar.value = news.done;
        } });
        const reply = await this.running;
        if (mine !== this.number) return;
        await this.#show(reply, asked, quality);
        this.shown = settings;
        this.of(this.settings);
      }
      words.textContent = "";
    } catch (error) {
      if (mine === this.number) words.textContent = error.message;
    } finally {
      if (mine === this.number) { stop.hidden = bar.hidden = true; this.running = null; }
    }
  }

  async #show(reply, asked, quality) {
    const what = WHAT[asked.what_if] ? `${asked.shot}, ${WHAT[asked.what_if]}`
      : `${asked.shot} at ${asked.at}`;
    const title = `${what}, ${asked.day}, ${reply.sky ?? asked.sky} sky`;
    const other = reply.sky && reply.sky !== asked.sky ? [SAID.fourSkies(reply.sky)] : [];
    const img = make("img", { src: `/light/picture/${reply.key}.jpg`, width: reply.width_px,
      height: reply.height_px, alt: SAID.pictureOf(title, reply.words), "data-quality": quality });
    await img.decode();
    await letGo();
    const figure = one("#picture");
    figure.replaceChildren(img, make("figcaption", { class: "small" }, make("strong", {}, title),
      ...[...reply.words, ...other].map((w) => make("span", {}, w)),
      make("span", { class: "soft" }, SAID.rendered),
      make("span", { class: "before mind", hidden: true }, SAID.renderedBefore)));
    figure.hidden = false;
  }
}

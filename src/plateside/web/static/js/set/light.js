// What is said of the shot's light: until when it holds, and that it is going.
/** @import { LeftShown } from "../core/facts" */
import { ask } from "../core/ask.js";
import { newest } from "../core/latest.js";
import { say } from "../core/say.js";
import { sound } from "./sounds.js";
import { LIGHT } from "./words.js";

const PLANNED_SAID = "plateside.set.planned", AGAIN_MS = 600000;

export class LightLeft {
  /** What the server said last; null: nothing, or of another shot. @type {LeftShown | null} */
  now = null;
  #goingSaid = 0;
  #asked = newest();

  /** about: shot() whose light it is, time() by the server's clock [ms], changed() when there is news. */
  constructor(about) {
    this.about = about;
    setInterval(() => this.ask(), AGAIN_MS);
  }

  get white_k() { return this.now?.white_k; }

  async ask() {
    const of = this.about.shot(), isNewest = this.#asked();
    if (!of) return;
    try {
      const reply = await ask(`/set/light/${encodeURIComponent(of)}`);
      if (!isNewest() || reply.shot !== this.about.shot()) return;
      this.now = reply;
      this.#sayPlanned();
      this.about.changed();
    } catch { if (isNewest()) this.now = null; }
  }

  /** What was said of the old shot's light is not true of this one. */
  askAnew() {
    this.now = null;
    this.ask();
  }

  words() {
    const light = this.now;
    if (!light) return "";
    const until = light.until || light.predicted_until, day = light.planned_for ? LIGHT.today : "";
    if (!until) {
      if (light.code === "steady") return LIGHT.steady;
      if (light.predicted_from) return day + LIGHT.from(light.predicted_from);
      return light.code === "none" ? LIGHT.none : "";
    }
    const minutes = Math.round((Date.parse(until) - this.about.time()) / 60000);
    if (minutes <= 0) return LIGHT.gone;
    return day + (minutes > 90 ? LIGHT.until(until) : LIGHT.minutes(minutes));
  }

  /** 'Light is going': half an hour before, and ten minutes before. */
  going() {
    const until = this.now && (this.now.until || this.now.predicted_until);
    if (!until) return;
    const minutes = (Date.parse(until) - this.about.time()) / 60000;
    const step = minutes <= 10 ? 2 : minutes <= 30 ? 1 : 0;
    if (step > this.#goingSaid && minutes > 0) sound("light");
    this.#goingSaid = step;
  }

  /** Once on each device: the plan is for another day, the light that is said is today's. */
  #sayPlanned() {
    if (!this.now?.planned_for) return;
    try {
      if (localStorage.getItem(PLANNED_SAID) === this.now.planned_for) return;
      localStorage.setItem(PLANNED_SAID, this.now.planned_for);
    } catch { return; /* private window: it stands behind More */ }
    say(this.now.planned_notice, null, 6000);
  }
}

// The sheet behind 'More', read at arm's length: the rest of what was said, layers, shots, light, keys, sound, screen.
import { ask, tell } from "../core/ask.js";
import { make, one } from "../core/dom.js";
import { press } from "../core/press.js";
import { say } from "../core/say.js";
import { Card } from "./card.js";
import { firstKeys, giveKey, keyName, keysNow, nextKey } from "./keys.js";
import { drawn } from "./marks.js";
import { keepScreen, screenNow, sizes } from "./sizes.js";
import { mute, muted, sound, unlock } from "./sounds.js";
import { spoken } from "./words.js";

const PRESSES = { keep: "Keep", again: "Again", undo: "Undo", next: "Next shot" };

export class Sheet {
  /** about: functions that give what the page knows, and what it can do. */
  constructor(about) {
    this.about = about;
    this.box = one("#sheet");
    one("#close").addEventListener("click", () => this.box.close());
    this.say = one("#say");
    this.place = this.say.parentElement;
    this.card = new Card({ now: about.now, marks: about.marks, refresh: about.refresh, closed: () => this.filled() });
    this.box.addEventListener("close", () => { this.place.append(this.say); document.activeElement?.blur(); about.redraw(); });
  }

  get isOpen() { return this.box.open; }

  open() {
    this.#keys();
    this.#sound();
    this.#screen();
    // what is said while the sheet lies over the page is said on the sheet
    this.box.prepend(this.say);
    this.box.showModal();
    this.filled();
  }

  /** What it shows has changed. */
  filled() {
    if (!this.box.open) return;
    this.#told();
    this.#notUsed();
    this.#layers();
    this.#shots();
    this.#light();
  }

  /** A frame with its marks, for the bright view. */
  figure(id, marks, words) {
    const image = make("img", { alt: words, src: `/frames/${id}/view.jpg` });
    const said = [...new Set(marks.map((m) => `${SIGNS[m.kind]} ${m.words}`))].join("   ");
    return make("figure", {}, drawn(image, marks, false), make("figcaption", {}, words, said ? ` · ${said}` : ""));
  }

  async #press(kind, data) {
    try {
      await press(kind, data, this.about.now().row);
    } catch (error) { say(error.message, null, 9000); }
    await this.about.refresh();
    this.filled();
  }

  #told() {
    const { frame, watching } = this.about.now(), { told } = this.about.marks();
    const unwatched = watching ? [] : [make("p", {}, "New frames are not judged: Plateside was started with --no-watch. Stop it on the laptop (Ctrl+C in its window) and start it without.")];
    if (!frame) { one("#told").replaceChildren(...unwatched, make("p", {}, "No frame of this shot yet.")); return; }
    const acts = told?.acts || [frame.act], of = { shot: frame.shot, frame: frame.id };
    one("#told").replaceChildren(
      ...unwatched,
      make("p", {}, `${frame.name}${!frame.shot ? ", of no shot" : frame.guessed ? `, of ${spoken(frame.shot)}, probably: say which` : `, of ${spoken(frame.shot)}`}`),
      this.#whose(frame),
      ...(frame.burst ? [make("p", {}, `Of a burst, ${frame.burst}.${frame.burst_reason ? ` ${frame.burst_reason}` : ""}`)] : []),
      make("ol", {}, acts.filter(Boolean).map((act) => make("li", {}, act))),
      ...(told ? [make("p", { class: "fact" }, told.judged), ...told.facts.map((f) => make("p", { class: "fact" }, f))] : []),
      make("div", { class: "row" },
        make("button", { type: "button", disabled: !frame.shot || frame.layer, onclick: () => this.#press("layer", of) }, frame.layer ? "Kept as a layer" : "Keep as layer"),
        make("button", { type: "button", disabled: !frame.shot || frame.test_frame, onclick: () => this.#press("test frame", of) }, frame.test_frame ? "The test frame" : "Make it the test frame"),
        make("button", { type: "button", disabled: !frame.shot || this.about.now().lamp_check, onclick: () => this.#lampOff(of) }, this.about.now().lamp_check ? "Waits: lamps off, one frame" : "Check for a lamp: lamp off, one frame"),
        make("button", { type: "button", disabled: !frame.shot, onclick: () => this.card.open(frame) }, "A grey card is in this frame"),
      ),
    );
  }

  /** Files in the frames folder that cannot be used, each with its reason, the latest first. */
  #notUsed() {
    const { not_used: files, not_used_count: count } = this.about.now(), place = one("#not-used");
    place.hidden = !count;
    if (!count) return;
    const more = count - files.length;
    one("#not-used-list").replaceChildren(...files.map((file) => make("li", {}, file.reason)), ...(more > 0 ? [make("li", {}, `And ${more} more.`)] : []));
  }

  /** Say which shot a frame is of: asked openly while it is a guess. */
  #whose(frame) {
    const { shots } = this.about.now(), open = frame.guessed || !frame.shot;
    const names = frame.shot ? [frame.shot, ...shots.map((s) => s.name).filter((n) => n !== frame.shot)] : shots.map((s) => s.name);
    const say = (name) => make("button", { type: "button", disabled: name === frame.shot && !frame.guessed, onclick: () => this.#press("frame belongs", { frame: frame.id, shot: name }) },
      name === frame.shot && frame.guessed ? `Yes, ${spoken(name)}` : spoken(name));
    const words = open ? "Which shot is it of?" : "It is of another shot", before = one("#told").querySelector("#whose");
    // drawn anew with every row: what she has opened stays open
    const wasOpen = before?.open && before.firstChild.textContent === words;
    return make("details", { id: "whose", open: open || wasOpen }, make("summary", {}, words), make("div", { class: "row" }, names.map(say)));
  }

  async #lampOff(of) {
    try { await tell("/set/lamp-off", of); } catch (error) { say(error.message, null, 9000); }
    await this.about.refresh();
    this.filled();
  }

  async #layers() {
    const now = this.about.now(), shot = now.shots.find((s) => s.name === (now.current || now.frame?.shot)), place = one("#layers");
    const key = shot ? `${shot.name} ${shot.layers.join()} ${now.frame?.id}` : "none";
    if (place.dataset.of === key) return;
    place.dataset.of = key;
    if (!shot?.layers.length) {
      place.replaceChildren(make("p", {}, "None yet. Keep a frame as a layer at each step of the scene, and see outlined what the next step adds or moves."));
      return;
    }
    try {
      const { layers, said } = await ask(`/set/layers/${encodeURIComponent(shot.name)}`);
      if (place.dataset.of !== key) return;
      place.replaceChildren(
        make("p", {}, "Press one to see it beside the last frame."),
        make("ol", { class: "strip" }, layers.map((layer) => this.#layer(layer, now.frame))),
        make("ol", { class: "plain" }, layers.map((layer) => make("li", {}, `Layer ${layer.number}`, layer.lines.map((line) => make("p", { class: "fact" }, line))))),
        ...said.map((words) => make("p", {}, words)),
      );
    } catch (error) { place.dataset.of = ""; place.replaceChildren(make("p", {}, error.message)); }
  }

  #layer({ frame: id, number, marks }, frame) {
    const image = make("img", { alt: `Layer ${number}`, src: `/frames/${id}/thumb.jpg` });
    const show = () => this.about.bright([
      this.figure(id, marks, `Layer ${number}`),
      ...(frame && frame.id !== id ? [this.figure(frame.id, this.about.marks().changed, `Now: ${frame.name}`)] : []),
    ]);
    return make("li", {}, make("button", { type: "button", onclick: show }, drawn(image, marks, false)));
  }

  #shots() {
    const now = this.about.now();
    one("#shots").replaceChildren(...now.shots.map((shot) => {
      const count = shot.frames === 1 ? "1 frame" : `${shot.frames} frames`;
      return make("li", { class: "shots-row" },
        make("span", {}, `${spoken(shot.name)}: ${count}${shot.done ? ", one kept" : ""}`),
        make("button", { type: "button", "aria-pressed": String(shot.name === now.current), onclick: () => this.#press("shot current", { shot: shot.name }) },
          shot.name === now.current ? "Now" : "Shoot this now", make("span", { class: "unseen" }, ` ${spoken(shot.name)}`)));
    }));
  }

  #light() {
    const light = this.about.light();
    const lines = light ? [light.words || "The camera has not yet read this shot's light often enough (it takes three frames over two minutes, and a test frame).", `Predicted${light.planned_for ? " for today at this spot" : ""}: ${light.predicted_words}`] : ["Not known yet."];
    if (light?.planned_for) lines.unshift(`The plan is for ${light.planned_for}, not for today.`);
    one("#lights").replaceChildren(...lines.map((words) => make("p", {}, words)));
  }

  #keys() {
    const keys = keysNow(), place = one("#keys");
    place.replaceChildren(
      ...Object.entries(PRESSES).map(([name, words]) => {
        const change = make("button", { type: "button", onclick: async () => {
          change.textContent = "Press its key or pedal now";
          const key = await nextKey();
          if (key) giveKey(name, key);
          this.#keys();
          place.querySelector(`[data-key="${name}"]`)?.focus();
        }, "data-key": name }, "Change", make("span", { class: "unseen" }, ` the key for ${words}`));
        return make("div", { class: "keys-row" }, make("span", {}, `${words} `, keys[name].length ? keys[name].flatMap((k) => [make("kbd", {}, keyName(k)), " "]) : "no key"), change);
      }),
      make("div", { class: "row" }, make("button", { type: "button", onclick: () => { firstKeys(); this.#keys(); } }, "Keys as they were")),
      make("p", { class: "fact" }, "A foot pedal that sends keys works as it is, or after one Change. A key acts when it is let go."),
    );
  }

  #sound() {
    const place = one("#sounds");
    place.replaceChildren(
      make("p", {}, "Rising: keep it. Falling: change something. A long low note: the light is going."),
      make("div", { class: "row" },
        make("button", { type: "button", "aria-pressed": String(!muted()), onclick: () => { mute(!muted()); this.#sound(); } }, muted() ? "Sound is off" : "Sound is on"),
        ...[["good", "Hear keep"], ["change", "Hear change"], ["light", "Hear light"]].map(([name, words]) =>
          make("button", { type: "button", disabled: muted(), onclick: async () => { await unlock(); sound(name); } }, words)),
      ),
    );
  }

  #screen() {
    const told = screenNow(), place = one("#screen");
    const field = (id, words, value, low, high, step) => {
      const input = make("input", { id, type: "number", value, min: low, max: high, step, inputmode: "decimal", onchange: () => {
        const number = Number(input.value.replace(",", "."));
        if (!(number >= low && number <= high)) { say(`${words}: from ${low} to ${high}.`); return; }
        keepScreen({ [id === "distance" ? "distance_m" : "diagonal_in"]: number });
        this.about.redraw();
        line.textContent = this.#sizeWords();
      } });
      return make("div", { class: "row" }, make("label", { for: id }, words), input);
    };
    const line = make("p", { class: "fact" });
    place.replaceChildren(
      field("distance", "From how far you read it, in metres", told.distance_m, 0.4, 6, 0.1),
      field("diagonal", "This screen's size, corner to corner, in inches", told.diagonal_in, 4, 60, 0.1),
      line,
      make("div", { class: "row" }, make("button", { type: "button", onclick: () => (document.fullscreenElement ? document.exitFullscreen() : document.documentElement.requestFullscreen()).catch(() => say("This browser does not fill the screen.")) }, "Fill the screen")),
      make("p", { class: "fact" }, "Set the tablet itself so that its screen stays on."),
    );
    line.textContent = this.#sizeWords();
  }

  #sizeWords() {
    const { s, m, l } = sizes(), told = screenNow(), from = this.about.readFrom();
    const whole = from > told.distance_m * 0.98;
    return `Text for ${told.distance_m} m: ${s}, ${m} and up to ${l} px.` + (whole ? "" : ` This screen is too small for that: read it from ${from.toFixed(1)} m.`);
  }
}

const SIGNS = { lost: "▨", sharpest: "○", wanted: "◌", lamp: "☼", changed: "▢", card: "▣" };

// The sheet behind 'More', read at arm's length: the rest of what was said, layers, shots, light, keys,
// sound, screen.
/** @import { LayerShown, LayersShown, LeftShown, Marks, SetScreen } from "../core/facts" */
import { ask, tell } from "../core/ask.js";
import { all, focused, keepingFocus, make, one } from "../core/dom.js";
import { press } from "../core/press.js";
import { say } from "../core/say.js";
import { addShot } from "./add_shot.js";
import { Card } from "./card.js";
import { firstKeys, giveKey, keyName, keysNow, nextKey } from "./keys.js";
import { drawn } from "./marks.js";
import { keepScreen, screenNow, sizes } from "./sizes.js";
import { mute, muted, sound, unlock } from "./sounds.js";
import { PRESS, SHEET, TODO, spoken } from "./words.js";

export class Sheet {
  /** about: functions that give what the page knows, and what it can do. */
  constructor(about) {
    this.about = about;
    this.box = one("#sheet");
    one("#close").addEventListener("click", () => this.box.close());
    this.say = one("#say");
    this.place = this.say.parentElement;
    this.card =
      new Card({ now: about.now, marks: about.marks, refresh: about.refresh, closed: () => this.filled() });
    this.#settings();
    one("#shots").after(addShot(() => this.about.now().current, async (shot) => {
      await this.about.refresh();
      await this.#press("shot current", { shot });
    }));
    this.box.addEventListener("close", () => {
      this.place.append(this.say);
      focused()?.blur();
      about.redraw();
    });
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
    keepingFocus(this.box, () => {
      this.#showFrame();
      this.#notUsed();
      this.#layers();
      this.#shots();
      this.#light();
    });
  }

  /** A frame with its marks, for the bright view. */
  figure(id, marks, words) {
    const image = make("img", { alt: words, src: `/frames/${id}/view.jpg` });
    const said = [...new Set(marks.map((m) => `${SIGNS[m.kind]} ${m.words}`))].join("   ");
    return make("figure", {}, drawn(image, marks, false),
      make("figcaption", {}, words, said ? ` · ${said}` : ""));
  }

  async #press(kind, data) {
    try {
      await press(kind, data, this.about.now().row);
    } catch (error) { say(error.message, null, 9000); }
    await this.about.refresh();
    this.filled();
  }

  #showFrame() {
    /** @type {SetScreen} */
    const { frame, unwatched, lamp_check, grey } = this.about.now();
    /** @type {{reply: Marks | null}} */
    const { reply } = this.about.marks();
    const off = [...unwatched.slice(1), ...grey.slice(1)].map((words) => make("p", {}, words));
    if (!frame) { one("#told").replaceChildren(...off, make("p", {}, SHEET.noFrame)); return; }
    const acts = reply?.acts || [frame.act], of = { shot: frame.shot, frame: frame.id };
    const act = (words, done, go) =>
      make("button", { type: "button", disabled: !frame.shot || done, onclick: go }, words);
    one("#told").replaceChildren(
      ...off,
      make("p", {}, SHEET.frameOf(frame.name, frame.shot, frame.guessed)),
      this.#whose(frame),
      ...(frame.burst ? [make("p", {}, SHEET.burst(frame.burst, frame.burst_reason))] : []),
      make("ol", {}, acts.filter(Boolean).map((words) => make("li", {}, words))),
      ...this.about.lacks().map((words) => make("p", { class: "lacks" }, words)),
      ...(reply ? [reply.judged, ...reply.facts].map((words) => make("p", { class: "fact" }, words)) : []),
      make("div", { class: "row" },
        act(SHEET.layer[Number(frame.layer)], frame.layer, () => this.#press("layer", of)),
        act(SHEET.testFrame[Number(frame.test_frame)], frame.test_frame, () => this.#press("test frame", of)),
        act(SHEET.lampCheck[Number(lamp_check)], lamp_check, () => this.#lampOff(of)),
        act(SHEET.greyCard, false, () => this.card.open(frame)),
      ),
    );
  }

  /** Files in the frames folder that cannot be used, each with its reason, the latest first. */
  #notUsed() {
    const { not_used: files, not_used_count: count } = this.about.now(), place = one("#not-used");
    place.hidden = !count;
    if (!count) return;
    const more = count - files.length;
    one("#not-used-list").replaceChildren(...files.map((file) => make("li", {}, file.reason)),
      ...(more > 0 ? [make("li", {}, SHEET.andMore(more))] : []));
  }

  /** Say which shot a frame is of: asked openly while it is a guess. */
  #whose(frame) {
    const { shots } = this.about.now(), open = frame.guessed || !frame.shot;
    const others = shots.map((s) => s.name).filter((name) => name !== frame.shot);
    const choose = (name) => {
      const own = name === frame.shot, put = () =>
        this.#press("frame belongs", { frame: frame.id, shot: name });
      const words = own && frame.guessed ? SHEET.yes(name) : spoken(name);
      return make("button", { type: "button", disabled: own && !frame.guessed, onclick: put }, words);
    };
    const words = open ? SHEET.whichShot : SHEET.anotherShot, before = one("#told").querySelector("#whose");
    // drawn anew with every row: what you have opened stays open
    const wasOpen = before?.open && before.firstChild.textContent === words;
    const names = frame.shot ? [frame.shot, ...others] : others;
    return make("details", { id: "whose", open: open || wasOpen },
      make("summary", {}, words), make("div", { class: "row" }, names.map(choose)));
  }

  async #lampOff(of) {
    try { await tell("/set/lamp-off", of); } catch (error) { say(error.message, null, 9000); }
    await this.about.refresh();
    this.filled();
  }

  async #layers() {
    const now = this.about.now(), shot = now.shots.find((s) => s.name === (now.current || now.frame?.shot)),
      place = one("#layers");
    const key = shot ? `${shot.name} ${shot.layers.join()} ${now.frame?.id}` : "none";
    if (place.dataset.of === key) return;
    place.dataset.of = key;
    one("#no-layers").hidden = Boolean(shot?.layers.length);
    one("#layers-how").hidden = !shot?.layers.length;
    if (!shot?.layers.length) { place.replaceChildren(); return; }
    try {
      /** @type {LayersShown} */
      const { layers, said } = await ask(`/set/layers/${encodeURIComponent(shot.name)}`);
      if (place.dataset.of !== key) return;
      const lines = (layer) => layer.lines.map((line) => make("p", { class: "fact" }, line));
      place.replaceChildren(
        make("ol", { class: "strip" }, layers.map((layer) => this.#layer(layer, now.frame))),
        make("ol", { class: "plain" },
          layers.map((layer) => make("li", {}, SHEET.layerNumber(layer.number), lines(layer)))),
        ...said.map((words) => make("p", {}, words)),
      );
    } catch (error) { place.dataset.of = ""; place.replaceChildren(make("p", {}, error.message)); }
  }

  /** @param {LayerShown} layer @param {SetScreen["frame"]} frame */
  #layer({ frame: id, number, marks }, frame) {
    const words = SHEET.layerNumber(number);
    const image = make("img", { alt: words, src: `/frames/${id}/thumb.jpg` });
    const last = () => this.figure(frame?.id, this.about.marks().changed, SHEET.now(frame?.name));
    const show = () =>
      this.about.bright([this.figure(id, marks, words), ...(frame && frame.id !== id ? [last()] : [])]);
    return make("li", {}, make("button", { type: "button", onclick: show }, drawn(image, marks, false)));
  }

  #shots() {
    /** @type {SetScreen} */
    const now = this.about.now();
    const days = [...new Set(now.shots.map((shot) => shot.day_words).filter(Boolean))];
    const of = (day) => now.shots.filter((shot) => shot.day_words === day);
    const lines = (day) => of(day).map(({ name, frames, done }) => {
      const current = name === now.current, put = () => this.#press("shot current", { shot: name });
      const when = done ? "" : this.#when(name, current, frames > 0, now);
      return make("li", { class: "shots-row" },
        make("span", {}, SHEET.shotLine(name, frames, done), when ? `, ${when}` : ""),
        make("button", { type: "button", "aria-pressed": String(current), onclick: put },
          SHEET.shootNow[Number(current)], make("span", { class: "unseen" }, ` ${spoken(name)}`)));
    });
    const open = new Set(all("#shots details[open]").map((box) => box.dataset.day));
    one("#shots").replaceChildren(...lines(""), ...days.map((day) => {
      const rows = lines(day), box = make("details", { "data-day": day, open: open.has(day) },
        make("summary", {}, SHEET.otherDay(day, rows.length)), make("ol", { class: "plain" }, ...rows));
      return make("li", {}, box);
    }));
  }

  /** Where a shot is in the day: now, next, and until its first frame late or its hour. */
  #when(name, current, begun, now) {
    const standing = this.about.standing(name), slot = this.about.slot(name);
    const late = !begun && standing?.code === "late" ? TODO.listed.late(standing.minutes) : "";
    const turn = current ? TODO.listed.now : name === now.next_shot ? TODO.listed.next : "";
    const hour = !begun && slot && standing.code !== "another day" ? TODO.listed.at(slot) : "";
    return [turn, late || hour].filter(Boolean).join(", ");
  }

  #light() {
    /** @type {LeftShown | null} */
    const light = this.about.light();
    const lines = light?.lines || [SHEET.noLight];
    one("#lights").replaceChildren(...lines.map((words) => make("p", {}, words)));
  }

  #keys() {
    const keys = keysNow(), place = one("#keys");
    place.replaceChildren(...Object.entries(PRESS.names).map(([name, words]) => {
      const change = make("button", { type: "button", "data-key": name, onclick: async () => {
        change.textContent = SHEET.pressKey;
        const key = await nextKey();
        if (key) giveKey(name, key);
        this.#keys();
        place.querySelector(`[data-key="${name}"]`)?.focus();
      } }, SHEET.change, make("span", { class: "unseen" }, SHEET.changeFor(words)));
      const given = keys[name].length ? keys[name].flatMap((k) => [make("kbd", {}, keyName(k)), " "])
        : SHEET.noKey;
      return make("div", { class: "keys-row" }, make("span", {}, `${words} `, given), change);
    }));
  }

  #sound() {
    one("#sound-on").textContent = SHEET.sound[Number(!muted())];
    one("#sound-on").setAttribute("aria-pressed", String(!muted()));
    for (const button of all("[data-sound]", this.box)) button.disabled = muted();
  }

  #screen() {
    const screen = screenNow();
    one("#distance").value = screen.distance_m;
    one("#diagonal").value = screen.diagonal_in;
    one("#screen-sizes").textContent = this.#sizeWords();
  }

  /** Presses of the parts whose words the template has. */
  #settings() {
    one("#first-keys").addEventListener("click", () => { firstKeys(); this.#keys(); });
    one("#sound-on").addEventListener("click", () => { mute(!muted()); this.#sound(); });
    for (const button of all("[data-sound]", this.box)) {
      button.addEventListener("click", async () => { await unlock(); sound(button.dataset.sound); });
    }
    one("#fill-screen").addEventListener("click", () => {
      const filled = document.fullscreenElement
        ? document.exitFullscreen() : document.documentElement.requestFullscreen();
      filled.catch(() => say(SHEET.noFilling));
    });
    for (const [id, name] of [["distance", "distance_m"], ["diagonal", "diagonal_in"]]) {
      const input = one(`#${id}`);
      input.addEventListener("change", () => {
        const number = Number(input.value.replace(",", ".")),
          low = Number(input.min), high = Number(input.max);
        if (!(number >= low && number <= high)) { say(SHEET.range(low, high)); return; }
        keepScreen({ [name]: number });
        this.about.redraw();
        one("#screen-sizes").textContent = this.#sizeWords();
      });
    }
  }

  #sizeWords() {
    const { s, m, l } = sizes(), { distance_m } = screenNow(), from = this.about.readFrom();
    const whole = from > distance_m * 0.98;
    return SHEET.sizes(distance_m, s, m, l) + (whole ? "" : SHEET.tooSmall(from));
  }
}

const SIGNS = { lost: "▨", sharpest: "○", wanted: "◌", lamp: "☼", changed: "▢", card: "▣" };

// Shots, steps and channels as items of a list: moved, copied, taken away, added. Each says its change when
// its turn comes, as what was pressed just before may have moved it.
import { all } from "../core/dom.js";
import { say } from "../core/say.js";
import { at } from "./fields.js";
import { freeName } from "./rows.js";
import { ofThisSet } from "./shared.js";
import { SAID } from "./words.js";

export class Items {
  #removing = false;

  /**
   * page: value() the file's value as it now is, save(changes) which says whether it was done, undo(),
   * open(shot) to write in it.
   * @param {{value: () => any, save: (changes: any) => Promise<any>, undo: () => any,
   *   open: (shot: string) => void}} page
   */
  constructor(page) {
    this.page = page;
  }

  async move(where, name, place, by) {
    const whereNow = this.#following(where, name), list = () => at(this.page.value(), where.slice(0, -1));
    let to = -1;
    const moving = () => {
      const now = whereNow();
      to = now ? now.at(-1) + by : -1;
      return to >= 0 && to < list().length ? [{ move: now, to }] : [];
    };
    if (!(await this.page.save(moving))) return;
    say(SAID.moved(name, to + 1, list().length));
    const wanted = document.querySelector(place(`[data-act="${by < 0 ? "up" : "down"}"]`, to));
    (wanted?.disabled ? document.querySelector(place(`[data-act="${by < 0 ? "down" : "up"}"]`, to))
      : wanted)?.focus();
    wanted?.scrollIntoView({ block: "nearest" });
  }

  remove(where, name) { return this.#taken(where, name, () => []); }

  /** A channel is named by shots: it goes from them as well. */
  removeChannel(where, name) {
    return this.#taken(where, name, () => this.page.value().shots.flatMap((shot, n) =>
      (shot.channels.includes(name)
      ? [{ put: ["shots", n, "channels"], value: shot.channels.filter((each) => each !== name) }] : [])));
  }

  /** A second one like it stands below it, open: what is to differ is changed there. */
  copyShot(number, name) {
    return this.#once(async () => {
      const whereNow = this.#following(["shots", number], name);
      let fresh = "";
      const copying = () => {
        const now = whereNow(), { shots } = this.page.value();
        if (!now) return [];
        fresh = freeName(shots, name.replace(/-\d+$/, ""), 2);
        // words of the one picture, and a release signed for it, are not those of the other
        const item = { ...shots[now[1]], name: fresh,
          title: "", caption: "", alt_text: "", model_release: false };
        const below = now[1] + 1;
        return [{ add: ["shots"], item },
          ...(below < shots.length ? [{ move: ["shots", shots.length], to: below }] : [])];
      };
      if (!(await this.page.save(copying))) return;
      say(SAID.copied(name, fresh), { words: SAID.undo, do: this.page.undo });
      this.page.open(fresh);
    });
  }

  async addShot() {
    let name = "";
    // the free name is looked for when its turn comes: pressed twice, two shots are wanted
    const adding = () => {
      const { shots } = this.page.value();
      name = freeName(shots, "shot");
      return [{ add: ["shots"], item: { ...ofThisSet(shots), name } }];
    };
    if (await this.page.save(adding)) this.page.open(name);
  }

  addStep() {
    return this.#added("#step-list",
      [{ add: ["recipe", "steps"], item: { name: SAID.newStep, takes: "PT5M" } }]);
  }

  addChannel() {
    return this.#added("#channel-list", () =>
      [{ add: ["channels"], item: { name: freeName(this.page.value().channels, "channel") } }]);
  }

  /** The last of the list, whose name is to be written. */
  async #added(list, changes) {
    if (!(await this.page.save(changes))) return;
    const input = all(`${list} .of-name input`).at(-1);
    input?.focus();
    input?.select();
  }

  #taken(where, name, before) {
    return this.#once(async () => {
      const whereNow = this.#following(where, name), taking = () => {
        const now = whereNow();
        return now ? [...before(), { take: now }] : [];
      };
      if (await this.page.save(taking)) say(SAID.removed(name), { words: SAID.undo, do: this.page.undo });
    });
  }

  /** Pressed twice is one wish: the second would take away what has moved up into its place. */
  async #once(action) {
    if (this.#removing) return;
    this.#removing = true;
    try { await action(); } finally { this.#removing = false; }
  }

  /** Says where an item is when its turn comes. Null: it is gone. */
  #following(where, name) {
    const list = () => at(this.page.value(), where.slice(0, -1)), was = where.at(-1), { length } = list();
    return () => {
      const found = list()[was]?.name === name ? was : list().findIndex((each) => each.name === name);
      // called anew meanwhile, it is where it was
      const now = found < 0 && list().length === length ? was : found;
      return now < 0 ? null : [...where.slice(0, -1), now];
    };
  }
}

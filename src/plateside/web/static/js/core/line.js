/** A page's own changes, one after another: each knows what came of the one before it. */
export class Line {
  /** How many were begun so far. */
  begun = 0;
  /** Resolves when every one begun so far is answered. */
  over = Promise.resolve();
  /** @type {(() => void)[]} */
  #hear = [];

  /** Act whenever one is begun. @param {() => void} action */
  hear(action) { this.#hear.push(action); }

  /**
   * Act in turn; resolves or rejects as the action does.
   * @template T
   * @param {() => Promise<T>} action
   */
  add(action) {
    this.begun += 1;
    for (const each of this.#hear) each();
    const done = this.over.then(action);
    this.over = done.then(() => {}, () => {});
    return done;
  }
}

// The server's clock as far as a page can know it: an answer was written at some moment between its asking
// and its reading.

export class ServerClock {
  #least = -Infinity;
  #most = Infinity;

  /**
   * An answer says when it was written. One that took long, or was read late, says little: what is known
   * better stays. One that cannot be true together with it says that a clock was set.
   * @param {string} at  the server's moment, ISO 8601
   * @param {number} asked  when it was asked for, by this device [ms]
   * @param {number} read  when it was read [ms]
   */
  heard(at, asked, read = Date.now()) {
    const least = Date.parse(at) - read, most = Date.parse(at) - asked;
    const isSet = least > this.#most || most < this.#least;
    this.#least = isSet ? least : Math.max(least, this.#least);
    this.#most = isSet ? most : Math.min(most, this.#most);
  }

  /** The server's moment [ms] at one of this device. */
  now(here = Date.now()) { return here + (this.#least + this.#most) / 2; }
}

// Asking the server, telling it of a change, and long work that it does meanwhile.
/** @import { JobShown } from "./facts" */
import { one } from "./dom.js";
import { letGo } from "./hold.js";
import { on } from "./live.js";
import { SAID } from "./words.js";

/** An error in the server's words; `mistakes` hold the places in the settings files. */
export class Refused extends Error {
  constructor(words, status, mistakes = [], reply = {}) {
    super(words);
    this.status = status;
    this.mistakes = mistakes;
    this.reply = reply;
  }
}

async function answer(response) {
  const isJson = (response.headers.get("content-type") || "").includes("json");
  const reply = isJson ? await response.json() : await response.text();
  await letGo();
  if (response.ok) return reply;
  throw new Refused(reply.error || SAID.failed(response.status), response.status, reply.mistakes, reply);
}

async function reach(path, options) {
  try {
    return await fetch(path, options);
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Refused(SAID.noAnswer, 0);
  }
}

/**
 * Whether it is the server that went away (stopped, killed, out of reach), and not the request that is wrong.
 */
export const isAway = (error) =>
  error instanceof Refused && (error.status === 0 || error.reply?.ending === true);

const LONGEST_MS = 3000;

/** Until the server may be there again: soon at first, at once when the event stream is back. */
function aWhile(times, signal) {
  return new Promise((/** @type {(value?: undefined) => void} */ resolve) => {
    const over = () => { clearTimeout(timer); off(); signal?.removeEventListener("abort", over); resolve(); };
    const off = on("connected", over);
    const timer = setTimeout(over, Math.min(250 * 2 ** times, LONGEST_MS));
    signal?.addEventListener("abort", over);
  });
}

async function askOnce(path, signal) {
  const reply = await answer(await reach(path, { signal, headers: { accept: "application/json, image/svg+xml" } }));
  signal?.throwIfAborted();
  return reply;
}

/**
 * GET: JSON, or text (a drawing). A server that is away is waited for and asked again: nothing is lost by
 * asking.
 */
export async function ask(path, signal) {
  for (let times = 0; ; times++) {
    try {
      return await askOnce(path, signal);
    } catch (error) {
      if (!isAway(error) || signal?.aborted) throw error;
      await aWhile(times, signal);
    }
  }
}

/**
 * @param {string} path
 * @param {string} type
 * @param {BodyInit} body
 */
async function post(path, type, body) {
  const token = one('meta[name="plateside-token"]').content;
  return answer(await reach(path, {
    method: "POST",
    headers: { "content-type": type, "x-plateside-token": token },
    body,
  }));
}

/** A change: POST with JSON. */
export const tell = (path, data = {}) => post(path, "application/json", JSON.stringify(data));

/** POST with bytes: a part of a file. A server that is away is the caller's to wait for. */
export const tellBytes = (path, bytes) => post(path, "application/octet-stream", bytes);

/** Resolves when the server may be there again; `times`: how often it was not. */
export const serverBack = (times) => aWhile(times);

/**
 * Begin long work (a POST that answers with a job) and wait for its result. A server that ends meanwhile took
 * the work
 * with it: the same work is begun again as soon as it is back, and goes on from what was finished.
 * progress(job) is called as it goes on; the promise has .stop() that stops it.
 * @param {string} path
 * @param {object} data
 * @param {(job: JobShown) => void} progress
 * @param {JobShown | null} begun  it was begun before: it is gone on with, not begun a second time
 */
export function work(path, data, progress = (_job) => {}, begun = null) {
  let job = begun;
  let stopped = false, over = false, looking = false, lookAgain = false;
  /** @type {Promise<any> & {stop?: () => any}} */
  const promise = new Promise((resolve, reject) => {
    const offs = [on("work", (news) => {
      if (news.job === job?.job) step(news);
    }), on("connected", () => look())];
    const again = setInterval(() => look(), 2000);

    function finish(action) {
      over = true;
      clearInterval(again);
      for (const off of offs) off();
      action();
    }

    /** @param {JobShown} news */
    function step(news) {
      if (over || (job && news.job !== job.job)) return;
      progress(news);
      if (news.ending) begin();
      else if (news.state === "done") {
        // the news leaves out what came of it
        if ("result" in news) finish(() => resolve(news.result)); else look();
      } else if (news.state === "stopped" || news.state === "failed") {
        finish(() =>
          reject(new Refused(news.words, news.state === "stopped" ? 409 : 503, news.mistakes, news)));
      }
    }

    async function begin() {
      job = null;
      for (let times = 0; !over; times++) {
        if (stopped) { finish(() => reject(new Refused(SAID.stopped, 409))); return; }
        try {
          /** @type {JobShown} */
          const reply = await tell(path, data);
          job = reply;
          if (stopped) promise.stop?.();
          step(reply);
          return;
        } catch (error) {
          if (!isAway(error)) { finish(() => reject(error)); return; }
          await aWhile(times);
        }
      }
    }

    async function look() {
      if (!job || over) return;
      if (looking) { lookAgain = true; return; }
      const asked = job;
      looking = true;
      try {
        step(await askOnce(`/work/${asked.job}`));
      } catch (error) {
        // no longer known: to the server that began it, or because this is another one
        if (error.status === 404 && job === asked) {
          if (error.reply.server === asked.server) finish(() => reject(error));
          else begin();
        }
      }
      looking = false;
      if (lookAgain) { lookAgain = false; look(); }
    }

    if (begun) { progress(begun); look(); } else begin();
  });
  promise.stop = () => { stopped = true; return job && tell(`/work/${job.job}/stop`); };
  return /** @type {Promise<any> & {stop: () => any}} */ (promise);
}

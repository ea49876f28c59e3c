// Asking the server, telling it of a change, and long work that it does meanwhile.
import { on } from "./live.js";

/** An error in the server's words; `mistakes` hold the places in the settings files. */
export class Refused extends Error {
  constructor(words, status, mistakes = [], told = {}) {
    super(words);
    Object.assign(this, { status, mistakes, told });
  }
}

async function answer(response) {
  const isJson = (response.headers.get("content-type") || "").includes("json");
  const told = isJson ? await response.json() : await response.text();
  if (response.ok) return told;
  throw new Refused(told.error || `The server said ${response.status}.`, response.status, told.mistakes, told);
}

async function reach(path, options) {
  try {
    return await fetch(path, options);
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Refused("Plateside does not answer. Is it still running?", 0);
  }
}

/** GET: JSON, or text (a drawing). */
export async function ask(path, signal) {
  return answer(await reach(path, { signal, headers: { accept: "application/json, image/svg+xml" } }));
}

/** A change: POST with JSON. */
export async function tell(path, data = {}) {
  return answer(await reach(path, {
    method: "POST",
    headers: {
      "content-type": "application/json",
      "x-plateside-token": document.querySelector('meta[name="plateside-token"]').content,
    },
    body: JSON.stringify(data),
  }));
}

/**
 * Begin long work (a POST that answers with a job) and wait for its result.
 * told(job) is called as it goes on; the promise has .stop() that stops it.
 */
export function work(path, data, told = () => {}) {
  let job = null, stopped = false;
  const promise = new Promise((resolve, reject) => {
    const off = on("work", (news) => { if (job && news.job === job.job) step(news); });
    const again = setInterval(async () => {
      if (job) try { step(await ask(`/work/${job.job}`)); } catch (error) { if (error.status === 404) finish(() => reject(error)); }
    }, 2000);
    const finish = (action) => { off(); clearInterval(again); action(); };
    const step = async (news) => {
      told(news);
      if (news.state === "done") {
        finish(async () => { try { resolve((await ask(`/work/${news.job}`)).result); } catch (error) { reject(error); } });
      } else if (news.state === "stopped" || news.state === "failed") {
        finish(() => reject(new Refused(news.words, news.state === "stopped" ? 409 : 503, news.mistakes, news)));
      }
    };
    tell(path, data).then((begun) => {
      job = begun;
      if (stopped) tell(`/work/${job.job}/stop`);
      step(begun);
    }, (error) => finish(() => reject(error)));
  });
  promise.stop = () => { stopped = true; return job && tell(`/work/${job.job}/stop`); };
  return promise;
}

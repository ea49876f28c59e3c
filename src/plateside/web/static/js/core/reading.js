// What the server says is so, read again at news and shown. An answer is never older than what a page shows:
// one question is put at a time, none while a change of this page's own is under way, and what is answered
// meanwhile is not waited for. Rows that came since the question are given along with its answer.
import { ask } from "./ask.js";
import { letGo } from "./hold.js";
import { on, sawRow } from "./live.js";
import { presses } from "./press.js";

/**
 *   path    what is asked
 *   show    (answer, rows) => unknown; rows: of the journal, heard since it was asked and not in it
 *   after   the lines of this page's own changes
 *   ms      news that come together are one question; the first of them waits so long
 * Gives back a function that reads. It resolves when an answer that was asked for after its call is shown;
 * where there is none it rejects, and the next news tries again.
 */
export function reading(path, show, { after = [presses], ms = 100 } = {}) {
  let asking = new AbortController(), line = Promise.resolve();
  /** @type {Promise<void> | null} */
  let next = null;
  /** While a question is being answered. @type {any[] | null} */
  let rows = null;
  const anew = () => asking.abort();
  for (const each of after) each.hear(anew);
  // a question from before the connection was lost may never be answered
  on("connected", anew);
  on("row", (row) => rows?.push(row));

  async function read() {
    await new Promise((resolve) => setTimeout(resolve, ms));
    await letGo();
    next = null;
    for (;;) {
      asking = new AbortController();
      await Promise.all(after.map((each) => each.over));
      const since = rows = [];
      try {
        const answer = await ask(path, asking.signal);
        if (answer.row) sawRow(answer.row);
        show(answer, since.filter(({ n }) => n > answer.row));
        return;
      } catch (error) {
        if (!asking.signal.aborted) throw error;
      } finally { rows = null; }
    }
  }

  return () => {
    if (!next) {
      next = line.then(read);
      line = next.catch(() => {});
    }
    return next;
  };
}

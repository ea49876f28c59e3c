// Decisions of a page, written down one after another: each knows the one before it, and is never taken for
// another screen's.
import { tell } from "./ask.js";
import { sawRow, seenRow } from "./live.js";

let line = Promise.resolve(), waiting = 0, written = 0;

/**
 * One decision; knew: the newest row that the page had from elsewhere than the stream. Resolves to what was
 * written.
 */
export const press = (kind, data, knew = 0) => inTurn("/press", { kind, data }, knew);

/** Whether a decision is still to be written, or what was read up to this row is from before the last one. */
export const ahead = (row) => waiting > 0 || row < written;

/** Resolves when every decision made so far is answered. */
export const pressed = () => line;

/** Take the latest decision back. */
export const takeBack = (knew = 0) => inTurn("/press/undo", {}, knew);

function inTurn(path, data, knew) {
  waiting += 1;
  const done = line.then(async () => {
    try {
      const reply = await tell(path, { ...data, version: Math.max(seenRow(), knew) });
      if (reply.row) sawRow(written = reply.row);
      return reply;
    } catch (error) {
      if (error.reply?.row) sawRow(error.reply.row.n);
      throw error;
    } finally {
      waiting -= 1;
    }
  });
  line = done.catch(() => {});
  return done;
}

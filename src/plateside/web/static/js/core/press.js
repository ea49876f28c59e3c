// Decisions of a page, written down one after another: each knows the one before it, and is never taken for
// another screen's.
import { tell } from "./ask.js";
import { Line } from "./line.js";
import { sawRow, seenRow } from "./live.js";

export const presses = new Line();

/**
 * One decision; knew: the newest row that the page had from elsewhere than the stream. Resolves to what was
 * written.
 */
export const press = (kind, data, knew = 0) => inTurn("/press", { kind, data }, knew);

/** Take the latest decision back. */
export const takeBack = (knew = 0) => inTurn("/press/undo", {}, knew);

const inTurn = (path, data, knew) => presses.add(async () => {
  try {
    const reply = await tell(path, { ...data, version: Math.max(seenRow(), knew) });
    if (reply.row) sawRow(reply.row);
    return reply;
  } catch (error) {
    if (error.reply?.row) sawRow(error.reply.row.n);
    throw error;
  }
});

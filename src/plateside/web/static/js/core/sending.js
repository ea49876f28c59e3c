// Files sent in parts: gone on with after a broken connection. And the files of what was dropped on a page.
import { isAway, serverBack, tell, tellBytes } from "./ask.js";

const PART_BYTES = 1_000_000;

/** One file, from wherever it stopped; a server that is away is waited for. Resolves to what came of it. */
export async function sendFile(file, path) {
  const changed_ms = Math.round(file.lastModified);
  for (let times = 0; ; times++) {
    try {
      let now = await tell(path, { name: file.name, size: file.size, changed_ms });
      while (!now.done) {
        const part = file.slice(now.have, now.have + PART_BYTES);
        const asked = `at=${now.have}&size=${file.size}&changed_ms=${changed_ms}`;
        now = await tellBytes(`${path}/${now.key}?${asked}`, part);
        times = 0;
      }
      return now;
    } catch (error) {
      // a file that was taken off its card meanwhile cannot be read: that is no broken connection
      if (!isAway(error)) throw error;
      await file.slice(0, 1).arrayBuffer();
      await serverBack(times);
    }
  }
}

/** Whether what is dragged over a page is files. */
export const hasFiles = (event) => [...(event.dataTransfer?.types || [])].includes("Files");

/** The files of what was dropped; a folder gives what is in it. */
export async function dropped(transfer) {
  const entries = [...transfer.items].map((item) => item.webkitGetAsEntry?.()).filter(Boolean);
  if (!entries.some((entry) => entry.isDirectory)) return [...transfer.files];
  return (await Promise.all(entries.map(within))).flat();
}

async function within(entry) {
  if (entry.isFile) return [await new Promise((resolve, reject) => { entry.file(resolve, reject); })];
  const reader = entry.createReader(), found = [];
  for (;;) {
    // a folder is listed in pieces, until a piece is empty
    const some = await new Promise((resolve, reject) => { reader.readEntries(resolve, reject); });
    if (!some.length) break;
    found.push(...some);
  }
  return (await Promise.all(found.filter((each) => !each.name.startsWith(".")).map(within))).flat();
}

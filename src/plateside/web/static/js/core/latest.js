// Only the newest question counts: while one is being answered, the last of those that came meanwhile waits.
export function latest(action) {
  let busy = false, waiting = null;
  return async function run(...args) {
    if (busy) { waiting = args; return; }
    busy = true;
    try { await action(...args); } finally { busy = false; }
    if (waiting) { const next = waiting; waiting = null; run(...next); }
  };
}

/** To be called at each question; what that gives back says at the answer whether it is still the newest. */
export function newest() {
  let last = 0;
  return () => { const mine = ++last; return () => mine === last; };
}

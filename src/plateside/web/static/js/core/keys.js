// Keys that mean the same on every page: Ctrl+Z (Command on a Mac) and Backspace take back the last decision.
export const plain = (event) => !(event.altKey || event.ctrlKey || event.metaKey);

export function undoes(event) {
  if (event.key === "Backspace") return plain(event);
  return event.key.toLowerCase() === "z" && (event.ctrlKey || event.metaKey)
    && !event.shiftKey && !event.altKey;
}

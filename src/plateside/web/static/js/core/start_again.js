// How Plateside is started again, as the server said it while it ran: from the menu, or by a command.

/** The same without the command itself, for large letters. */
export const startAgainInShort = () => startAgain().replace(/: .*$/s, ".");

/** One sentence; empty on a page that was not told. */
export const startAgain = () =>
  document.querySelector('meta[name="plateside-start-again"]')?.getAttribute("content") || "";

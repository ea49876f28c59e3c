// The browser's Back closes what lies open over the page, and only then leaves the page.
//
// Each dialog that opens has an entry of the history beneath it. One that is closed by its own button leaves
// its entry behind: going back at once could overtake a page that is being opened. The next dialog takes that
// entry over, and Back steps over it. A dialog that comes and goes by itself (data-passing) has none.
/** @type {HTMLDialogElement[]} */
let opened = [];
const depth = () => history.state?.open || 0;
let here = depth();

/** Asked of the dialogs themselves: their "close" comes a moment after they are closed. */
const open = () => (opened = opened.filter((dialog) => dialog.open));

const show = HTMLDialogElement.prototype.showModal;
HTMLDialogElement.prototype.showModal = function showModal() {
  const already = open().includes(this);
  show.call(this);
  if (this.dataset.passing !== undefined || already) return;
  opened.push(this);
  if (depth() < opened.length) history.pushState({ ...history.state, open: opened.length }, "");
  here = depth();
};

addEventListener("popstate", () => {
  const back = depth() < here;
  here = depth();
  if (!back) return;
  const top = open().at(-1);
  if (top) top.close();
  // one step at a time: a busy browser drops the second while it still takes the first
  else setTimeout(() => history.back());
});

export {};

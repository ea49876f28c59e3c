// The browser's Back closes what lies open over the page, and only then leaves the page.
//
// Each dialog that opens has an entry of the history beneath it. One that is closed by its own button leaves
// its entry
// behind: going back at once could overtake a page that is being opened. The next dialog takes that entry
// over, and
// Back steps over it. A dialog that comes and goes by itself (data-passing) has none.
/** @type {HTMLDialogElement[]} */
const opened = [];
const depth = () => history.state?.open || 0;
let here = depth();

const show = HTMLDialogElement.prototype.showModal;
HTMLDialogElement.prototype.showModal = function showModal() {
  show.call(this);
  if (this.dataset.passing !== undefined || opened.includes(this)) return;
  opened.push(this);
  if (depth() < opened.length) history.pushState({ ...history.state, open: opened.length }, "");
  here = depth();
  this.addEventListener("close", () => {
    const at = opened.indexOf(this);
    if (at >= 0) opened.splice(at, 1);
  }, { once: true });
};

addEventListener("popstate", () => {
  const back = depth() < here;
  here = depth();
  if (!back) return;
  if (opened.length) opened[opened.length - 1].close();
  // one step at a time: a busy browser drops the second while it still takes the first
  else setTimeout(() => history.back());
});

export {};

// The browser's Back closes what lies open over the page, and only then leaves the page.
//
// Each dialog that opens has an entry of the history beneath it. One that is closed by its own button leaves its entry
// behind: going back at once could overtake a page that is being opened. The next dialog takes that entry over, and
// Back steps over it. A dialog that comes and goes by itself (data-passing) has none.
const open = [];
const depth = () => history.state?.open || 0;
let here = depth();

const show = HTMLDialogElement.prototype.showModal;
HTMLDialogElement.prototype.showModal = function showModal() {
  show.call(this);
  if (this.dataset.passing !== undefined || open.includes(this)) return;
  open.push(this);
  if (depth() < open.length) history.pushState({ ...history.state, open: open.length }, "");
  here = depth();
  this.addEventListener("close", () => {
    const at = open.indexOf(this);
    if (at >= 0) open.splice(at, 1);
  }, { once: true });
};

addEventListener("popstate", () => {
  const back = depth() < here;
  here = depth();
  if (!back) return;
  if (open.length) open.at(-1).close();
  else history.back();
});

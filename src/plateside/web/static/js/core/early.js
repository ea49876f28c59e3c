// Presses made before a page's own modules have arrived are kept, and made again in their order once
// these have run: on a slow tablet the first press would be lost, or a form be sent the browser's own way.
// Not a module, so that it runs before the first button is drawn.
(() => {
  const buttons = [];
  const keep = (event) => {
    const button = event.target instanceof Element && event.target.closest("button");
    if (!button) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    buttons.push(button);
  };
  document.addEventListener("click", keep, true);
  document.addEventListener("DOMContentLoaded", () => {
    document.removeEventListener("click", keep, true);
    for (const button of buttons) button.click();
  });
})();

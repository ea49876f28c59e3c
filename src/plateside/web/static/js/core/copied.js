// A press that copies a path, to be pasted in the system's own windows.
import { around } from "./dom.js";

document.addEventListener("click", async (event) => {
  const button = around(event, "[data-copy]");
  if (!button) return;
  try {
    await navigator.clipboard.writeText(button.dataset.copy);
    button.textContent = "Copied";
    setTimeout(() => { button.textContent = "Copy"; }, 2000);
  } catch {
    // the browser allows no copying here: the path is marked, so that the usual keys copy it
    getSelection()?.selectAllChildren(button.parentElement.querySelector("code"));
  }
});

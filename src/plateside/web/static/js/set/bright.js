// Full brightness, until a press, a new frame, or a while: a bright screen is a lamp beside the dish.
import { one } from "../core/dom.js";

const BRIGHT_MS = 20000, box = one("#bright"), place = one("#pictures");
let timer = 0;

export function bright(figures, ms = BRIGHT_MS) {
  place.replaceChildren(...figures);
  if (!box.open) box.showModal();
  clearTimeout(timer);
  timer = setTimeout(() => box.close(), ms);
}

export const isBright = () => box.open;

export function dark() { if (box.open) box.close(); }

place.addEventListener("click", () => box.close());

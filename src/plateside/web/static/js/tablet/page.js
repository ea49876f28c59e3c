// The laptop's side: a code to scan, who is paired, and closing again.
/** @import { TabletShown } from "../core/facts" */
import { tell } from "../core/ask.js";
import { given, keepingFocus, make, one } from "../core/dom.js";
import { Line } from "../core/line.js";
import { follow, on } from "../core/live.js";
import { reading } from "../core/reading.js";
import { trying } from "../core/say.js";
import { SAID } from "./words.js";

/** @type {TabletShown} */
let now = given("given");
let until = 0, shownCode = "";

/** @param {TabletShown} reply */
function show(reply) {
  now = reply;
  one("#closed").hidden = Boolean(now.url);
  one("#opened").hidden = !now.url;
  one("#inviting").hidden = !now.code;
  until = Date.now() + now.seconds * 1000;
  one("#address").textContent = `${now.url}pair`;
  one("#typed").textContent = now.code;
  if (now.code && now.code !== shownCode) one("#code")
    .replaceChildren(
    make("img", { alt: SAID.code, width: 300, height: 300, src: `/tablet/code.svg?of=${Date.now()}` }));
  shownCode = now.code;
  one("#none").hidden = now.devices.length > 0;
  keepingFocus(one("#devices"), () => one("#devices").replaceChildren(...now.devices.map((device) => make("li", {},
    make("span", {}, device.name, " ",
      make("span", { class: "soft small" },
      SAID.since(new Date(device.since).toLocaleDateString([], { day: "numeric", month: "long" })))),
    make("button", { type: "button", "aria-label": SAID.forget(device.name),
      onclick: () => press("/tablet/forget", { number: device.number }) }, "Forget")))));
  tick();
}

function tick() {
  const left = Math.max(0, Math.round((until - Date.now()) / 1000));
  one("#seconds").textContent = String(left);
  if (now.code && left === 0) refresh();
}

const presses = new Line();
const press = (path, data) => trying(() => presses.add(async () => show(await tell(path, data))));
const afresh = reading("/tablet/now", show, { after: [presses] });
const refresh = () => trying(afresh);

one("#show").addEventListener("click", () => press("/tablet/invite"));
one("#again").addEventListener("click", () => press("/tablet/invite"));
one("#close").addEventListener("click", () => press("/tablet/close"));
on("devices", refresh);
on("connected", refresh);
setInterval(tick, 1000);
show(now);
follow(0);

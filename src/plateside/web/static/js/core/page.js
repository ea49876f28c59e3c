// On every page: a shoot opened elsewhere, a server that went away, and Back.
import "./back.js";
import { on } from "./live.js";
import { say } from "./say.js";
import { startAgain } from "./start_again.js";
import { SAID } from "./words.js";

// the tablet beside the set goes on speaking of frames: those of the shoot that is open now
on("opened", () => location.assign(document.body.classList.contains("set") ? "/set" : "/"));
on("lost", (since) => {
  if (!document.body.classList.contains("set")) say(SAID.offSince(clock(since), startAgain()), null, 60000);
});
on("connected", () => { if (!document.body.classList.contains("set")) say(SAID.connected); });

// whether anything can be kept: as it was when the page was drawn, and as it changes
on("keeping", ({ words }) => {
  let strip = document.getElementById("not-kept");
  if (!strip) {
    strip = document.createElement("div");
    strip.id = "not-kept";
    strip.className = "damaged";
    strip.setAttribute("role", "status");
    document.querySelector("main")?.before(strip);
  }
  strip.hidden = !words;
  const said = document.createElement("p");
  said.textContent = words;
  strip.replaceChildren(said);
});

// a damaged file: said until it has been read, once for each
const damaged = document.getElementById("damaged");
if (damaged) {
  const words = damaged.textContent;
  let read = "";
  try {
    read = localStorage.getItem("damage read") || "";
  } catch { /* a browser that keeps nothing: it is said again */ }
  damaged.hidden = read === words;
  damaged.querySelector("button")?.addEventListener("click", () => {
    damaged.hidden = true;
    try { localStorage.setItem("damage read", words); } catch { /* as above */ }
  });
}

function clock(date) {
  return date.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hour12: false });
}

// On every page: a shoot opened elsewhere, a server that went away, and Back.
import "./back.js";
import { on } from "./live.js";
import { say } from "./say.js";

on("opened", () => location.assign("/"));
on("lost", (since) => { if (!document.body.classList.contains("set")) say(`Not connected since ${clock(since)}. It comes back by itself.`, null, 60000); });
on("connected", () => { if (!document.body.classList.contains("set")) say("Connected again."); });

function clock(date) { return date.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hour12: false }); }

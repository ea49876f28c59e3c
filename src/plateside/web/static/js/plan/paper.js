// A page to print.
import { one } from "../core/dom.js";

one("#print").addEventListener("click", () => print());

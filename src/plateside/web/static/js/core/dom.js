// Elements made in code: text is always text, never markup.
import { whenLetGo } from "./hold.js";

const SVG = "http://www.w3.org/2000/svg";

/**
 * An HTML element: make("p", {class: "soft"}, "words", child). Attributes that are functions become
 * listeners.
 */
export function make(tag, attributes = {}, ...children) {
  return fill(document.createElement(tag), attributes, children);
}

/** The same for SVG. */
export function draw(tag, attributes = {}, ...children) {
  return fill(document.createElementNS(SVG, tag), attributes, children);
}

function fill(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === null || value === false) continue;
    if (typeof value === "function") element.addEventListener(name.replace(/^on/, ""), value);
    else element.setAttribute(name, value === true ? "" : String(value));
  }
  element.append(...children.flat().filter((c) => c !== null && c !== undefined && c !== false));
  return element;
}

/**
 * The first element that fits, or an error that names it.
 * @param {string} selector
 * @param {ParentNode} within
 * @returns {any}
 */
export function one(selector, within = document) {
  const found = within.querySelector(selector);
  if (!found) throw new Error(`No element: ${selector}`);
  return found;
}

/** @type {(selector: string, within?: ParentNode) => any[]} */
export const all = (selector, within = document) => [...within.querySelectorAll(selector)];

/** The JSON in <script type="application/json" id="...">. @returns {any} */
export const given = (id) => JSON.parse(document.getElementById(id)?.textContent ?? "null");

/** A drawing that our own server sent, as an element. @returns {any} */
export function drawing(text) {
  const parsed = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  for (const bad of parsed.querySelectorAll("script, foreignObject, style")) bad.remove();
  return document.importNode(parsed, true);
}

/** The element that has the focus. @returns {any} */
export const focused = () => document.activeElement;

const namedAs = (element) => element.getAttribute("aria-label") ?? element.textContent;

/** Draw within a place: what had the focus has it again, by its id or as the same of those called alike. */
export function keepingFocus(place, draws) {
  const had = place.contains(focused()) ? focused() : null;
  const alike = () => all(had.localName, place).filter((each) => namedAs(each) === namedAs(had));
  const n = had ? alike().indexOf(had) : 0;
  draws();
  if (!had || had.isConnected || !(had.id || namedAs(had))) return;
  ((had.id && document.getElementById(had.id)) || alike()[n])?.focus({ preventScroll: true });
}

/** Draw details anew within a place: those that were open are open again, by the id of their summary. */
export function keepingOpen(place, ...details) {
  for (const { id } of all("details[open] > summary", place)) {
    const again = details.find((box) => box.firstChild.id === id);
    if (again) again.open = true;
  }
  place.replaceChildren(...details);
}

/** The nearest element around what an event came from. @type {(event: Event, selector: string) => any} */
export const around = (event, selector) => event.target instanceof Element
  ? event.target.closest(selector) : null;

/** Call only after `ms` without another call, and with nothing held down; the latest wins. */
export function settled(ms, action) {
  let timer = 0;
  return (...args) => {
    clearTimeout(timer);
    timer = setTimeout(() => whenLetGo(() => action(...args)), ms);
  };
}

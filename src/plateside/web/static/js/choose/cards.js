// One frame's card on a sheet: its picture, its verdict, your press. choose.html draws the first ones in the
// same way.
import { make } from "../core/dom.js";
import { shape } from "./marks.js";
import { SAID, frameWords, unjudged } from "./words.js";

const pattern = make("li", {},
  make("button", { type: "button", class: "frame", tabindex: -1 },
    make("span", { class: "picture" }), make("span", { class: "foot" }, make("span", { class: "word" }))));

/** An empty card: copying is several times quicker than making. */
export const blank = () => pattern.cloneNode(true);

/**
 * Write on a card what is other than before.
 *   part            select, alternate or ""
 *   strip, place    which joined picture holds the frame's, and where; "" when none does
 *   single          its own picture is wanted as well (or instead)
 */
export function fill(card, frame, { part, at, ticked, refused, strip, place, single }) {
  const button = card.firstChild, picture = button.firstChild, foot = button.lastChild;
  let look = "frame";
  if (frame.pressed) look += ` is-${frame.pressed}`;
  if (part) look += ` is-${part}`;
  if (at) look += " is-at";
  if (ticked) look += " is-ticked";
  if (button.className !== look) button.className = look;
  const of = frameWords(frame, part), words = ticked ? SAID.marked(of) : of;
  if (button.getAttribute("aria-label") !== words) button.setAttribute("aria-label", words);
  if (button.dataset.frame !== frame.id) button.dataset.frame = frame.id;

  const word = foot.firstChild, kind = `word word-${frame.word || "none"}`,
    said = frame.word || (refused ? SAID.notShown : unjudged(frame));
  if (word.className !== kind) word.className = kind;
  if (word.textContent !== said) word.textContent = said;
  const yours = word.nextSibling;
  if ((yours?.textContent || "") !== (frame.pressed || "")) {
    yours?.remove();
    if (frame.pressed) foot.append(make("span", { class: `yours yours-${frame.pressed}` }, frame.pressed));
  }
  const badge = button.querySelector(".badge");
  if ((badge?.textContent || "") !== part) {
    badge?.remove();
    if (part) picture.append(make("span", { class: "badge" }, shape(part), part));
  }
  if (strip && picture.className === "picture" && !button.querySelector("img")) picture.className =
    `picture p${place} j-${strip}`;
  if (single && !button.querySelector("img")) {
    const own = make("img", { loading: "lazy", decoding: "async", alt: "", width: 3, height: 2 });
    own.src = `/frames/${frame.id}/thumb.jpg`;
    picture.prepend(own);
  }
}

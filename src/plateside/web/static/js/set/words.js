// The state in words: what is shown is decided here and nowhere else.
export const clock = (date) => date.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hour12: false });
/** The hour on the kitchen's clock, as on every other page, of a moment told with its offset: a tablet's own zone may be another. */
export const kitchenHour = (moment) => moment.slice(11, 16);
export const spoken = (name) => name.replaceAll("-", " ");
/** A number and its unit stay on one line. */
export const together = (words) => words.replace(/(\d) (s|mm|cm|m|px|%|left|min|stops?|degrees|mired)\b/g, "$1\u00a0$2").replace(/(ISO) (\d)/g, "$1\u00a0$2");
const capital = (word) => word.charAt(0).toUpperCase() + word.slice(1);

/** 'now', '40 s ago', '12 min ago', '3 h ago' */
export function age(seconds) {
  if (seconds < 5) return "now";
  if (seconds < 60) return `${5 * Math.floor(seconds / 5)} s ago`;
  if (seconds < 100 * 60) return `${Math.floor(seconds / 60)} min ago`;
  if (seconds < 48 * 3600) return `${Math.floor(seconds / 3600)} h ago`;
  return `${Math.floor(seconds / 86400)} days ago`;
}

/**
 * One state: {name (of the shape), word, act, noted (her press, when the word alone does not tell it), first (provisional), alone}.
 *   now    what the server told (set_now.py)
 *   seen   {lost: Date|null, trouble: words, provisional: {frame, word, words}|null}
 */
export function state(now, seen) {
  if (seen.lost) return { name: "lost", word: "Not connected", act: `since ${clock(seen.lost)}`, alone: true };
  if (seen.trouble) return { name: "stopped", word: "Not judging", act: seen.trouble, alone: true };
  const frame = now.frame;
  if (!frame) {
    const shot = now.current ? spoken(now.current) : "";
    const act = now.lamp_check ? "Lamps off, one frame." : now.caution || (shot ? `First frame of ${shot}.` : "Next shot begins the list.");
    return { name: "ready", word: "Ready", act };
  }
  if (now.lamp_check && frame.word) return { name: "ready", word: "Ready", act: "Lamps off, nothing else changed, one frame." };
  if (!frame.word) {
    if (seen.provisional?.frame === frame.id) {
      const { word, words } = seen.provisional;
      return { name: word, word: capital(word), act: `Quick look: ${words}`, first: true };
    }
    return { name: "wait", word: "Wait", act: "Landed, being judged." };
  }
  if (frame.pressed === "kept") return { name: "kept", word: "Kept", act: now.next_shot ? "Next shot, or another frame." : now.left ? `Still without a frame: ${missing(now)}.` : "Every shot has a frame. Go on: Choose." };
  if (frame.pressed === "again") return { name: "noted", word: "Again", act: frame.word === "good" ? "Take it once more." : frame.short_act, noted: "Again: noted" };
  const sure = frame.confidence < 0.5 && frame.word !== "good" ? " Not sure." : "";
  return { name: frame.word, word: capital(frame.word), act: frame.short_act + sure };
}

/** The shots that no frame is kept of, by name. */
export function missing(now) { return now.shots.filter((s) => !s.done).map((s) => s.name).join(", "); }

// An hour as people type it, read as the clock tells it.

/** "19", "7pm", "7:5", "7.30 pm", "1930", "noon" as minutes of the day; null for what is none. */
export function minutesOf(words) {
  const plain = words.trim().toLowerCase().replace(/\s+/g, " ");
  if (plain === "noon" || plain === "midday") return 720;
  if (plain === "midnight") return 0;
  const found = plain.match(/^(\d{1,2})(?: ?[:.,h] ?(\d{1,2})?|(\d{2}))?(?: ?([ap])\.? ?m\.?)?$/);
  if (!found) return null;
  const half = found[4], minute = Number(found[2] ?? found[3] ?? 0);
  let hour = Number(found[1]);
  if (half && (hour < 1 || hour > 12)) return null;
  if (half) hour = (hour % 12) + (half === "p" ? 12 : 0);
  return hour < 24 && minute < 60 ? hour * 60 + minute : null;
}

/** The nearest five minutes, as "07:05"; empty for what is no time of the day. */
export function clockOf(words) {
  const minutes = minutesOf(words);
  if (minutes === null) return "";
  const whole = Math.min(Math.round(minutes / 5) * 5, 1435);
  return `${String(Math.floor(whole / 60)).padStart(2, "0")}:${String(whole % 60).padStart(2, "0")}`;
}

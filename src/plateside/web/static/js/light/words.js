// Light in words, to the two figures that a prediction is told with.

/** 1683 -> "1700", 0.0132 -> "0.013". */
export function twoFigures(value) {
  if (!value) return "0";
  const digits = 1 - Math.floor(Math.log10(Math.abs(value)));
  return digits > 0 ? value.toFixed(digits) : String(Math.round(value / 10 ** -digits) * 10 ** -digits);
}

/** "about 1700 lx (1100-2600)". */
export function luxWords(lux, low, high) {
  if (!lux) return "no light";
  return low === undefined ? `about ${twoFigures(lux)} lx` : `about ${twoFigures(lux)} lx (${twoFigures(low)}-${twoFigures(high)})`;
}

/** "5 h 20 min". */
export function minutesWords(minutes) {
  const whole = Math.round(minutes), hours = Math.floor(whole / 60), rest = whole % 60;
  if (!hours) return `${rest} min`;
  return rest ? `${hours} h ${rest} min` : `${hours} h`;
}

const within = (spans, at) => spans.find((s) => s.start_s <= at && at < s.end_s);

/** "good, direct sun on the dish". */
export function stateWords(day, i) {
  const at = day.seconds[i], words = [within(day.good, at) ? "good" : "not good"];
  if (within(day.sun, at)) words.push("direct sun on the dish");
  return words.join(", ");
}

/** "Good: 10 h 25 min left, until 21:00." */
export function leftWords(day, i) {
  const at = day.seconds[i], now = within(day.good, at);
  const sun = within(day.sun, at) ? "Direct sun on the dish. " : "";
  if (now) return `${sun}Good: ${minutesWords((now.end_s - at) / 60)} left, until ${now.words.slice(-5)}.`;
  const later = day.good.find((s) => s.start_s > at);
  return sun + (later ? `Not good now; good again from ${later.words.slice(0, 5)}.` : "Not good now, and not again on this day.");
}

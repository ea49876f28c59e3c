// Durations: minutes on the page, ISO 8601 in the file.
const ISO =
  /^P(?:(\d+(?:\.\d+)?)W)?(?:(\d+(?:\.\d+)?)D)?(?:T(?:(\d+(?:\.\d+)?)H)?(?:(\d+(?:\.\d+)?)M)?(?:(\d+(?:\.\d+)?)S)?)?$/i;

/** Minutes of an ISO 8601 duration, or null when it is none. */
export function minutesOf(text) {
  const found = ISO.exec((text || "").trim());
  if (!found || found.slice(1).every((part) => part === undefined)) return null;
  const [weeks, days, hours, minutes, seconds] = found.slice(1).map((part) => Number(part || 0));
  return weeks * 10080 + days * 1440 + hours * 60 + minutes + seconds / 60;
}

/** An ISO 8601 duration of so many minutes: 90 -> PT1H30M. */
export function durationOf(minutes) {
  const seconds = Math.round(minutes * 60);
  const parts = { H: Math.floor(seconds / 3600), M: Math.floor((seconds % 3600) / 60), S: seconds % 60 };
  return "PT" + (Object.entries(parts).filter(([, n]) => n > 0).map(([letter, n]) => `${n}${letter}`).join("")
    || "0M");
}

/** Minutes from what a person writes: 25, 1.5, 1,5, 1:30, 1 h 30, 90 min. NaN when it is none. */
export function minutesIn(text) {
  const plain = text.trim().toLowerCase().replace(/(\d),(\d)/g, "$1.$2");
  let found = /^(\d+(?:\.\d+)?)\s*(?:m|min|mins|minutes?)?$/.exec(plain);
  if (found) return Number(found[1]);
  found = /^(\d+):([0-5]\d)$/.exec(plain);
  if (found) return Number(found[1]) * 60 + Number(found[2]);
  found = /^(\d+(?:\.\d+)?)\s*(?:h|hours?|hrs?)\s*(?:(\d+)\s*(?:m|min|minutes?)?)?$/.exec(plain);
  if (found) return Number(found[1]) * 60 + Number(found[2] || 0);
  return NaN;
}

/** 135 -> "2 h 15 min"; empty under an hour, where the minutes say it already. */
export function hoursWords(minutes) {
  if (!(minutes >= 60)) return "";
  const rest = Math.round(minutes % 60);
  return `${Math.floor(minutes / 60)} h${rest ? ` ${rest} min` : ""}`;
}

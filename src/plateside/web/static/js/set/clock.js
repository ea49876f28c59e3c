// Where a shot is in the day's timetable, and what being late costs: by the plan's hours and its good
// light.
/** @import { ShotShown, SlotShown, ClockSpan } from "../core/facts" */

const MINUTE_MS = 60000, LATE_MIN = 1;

/**
 * The date in the kitchen at a moment [ms], by the offset that its own moments bear: a tablet's zone may be
 * another.
 * @type {(moment: number, own: string) => string}
 */
export function kitchenDate(moment, own) {
  const found = own.match(/([+-])(\d\d):(\d\d)$/);
  const minutes = found ? Number(`${found[1]}1`) * (60 * Number(found[2]) + Number(found[3])) : 0;
  return new Date(moment + minutes * MINUTE_MS).toISOString().slice(0, 10);
}

/**
 * {code: early | due | late | another day, minutes (to its hero, or since), light: {code: holds | again |
 * over | unknown, at}}; null without an hour of its own. What is said of light is the plan's good light for
 * this shot.
 * @param {{slot: SlotShown | null, light?: {good: ClockSpan[]} | null}} shot
 * @param {number} moment  now [ms]
 */
export function standing(shot, moment) {
  const { slot } = shot;
  if (!slot) return null;
  const light = lightAt(shot.light?.good, moment);
  if (kitchenDate(moment, slot.hero_at) !== slot.hero_at.slice(0, 10))
    return { code: "another day", minutes: 0, light: { code: "unknown", at: "" } };
  const minutes = (moment - Date.parse(slot.hero_at)) / MINUTE_MS;
  if (minutes >= LATE_MIN) return { code: "late", minutes: Math.floor(minutes), light };
  const due = moment >= Date.parse(slot.start_at);
  return { code: due ? "due" : "early", minutes: Math.max(0, Math.ceil(-minutes)), light };
}

/** Whether the light is good for the shot now, or when it is again. */
function lightAt(good, moment) {
  if (!good) return { code: "unknown", at: "" };
  const now = good.find((span) => Date.parse(span.start_at) <= moment && moment < Date.parse(span.end_at));
  if (now) return { code: "holds", at: now.end_at };
  const next = good.find((span) => Date.parse(span.start_at) > moment);
  return next ? { code: "again", at: next.start_at } : { code: "over", at: "" };
}

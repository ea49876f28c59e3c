// What the screen is: one shape, one word, one line. It is decided here and nowhere else; words.js says it.
/** @import { SetScreen } from "../core/facts" */
import { startAgainInShort } from "../core/start_again.js";
import { STATE } from "./words.js";

/** The shots that no frame is kept of, by name. @type {(now: SetScreen) => string[]} */
export const stillToKeep = (now) => now.shots.filter((shot) => !shot.done).map((shot) => shot.name);

/** Whether the shot that is now to be taken has a frame; until then the screen says what to do for it. */
export function begun(now) {
  const { frame, current } = now;
  if (!frame || !current || frame.shot === current || frame.chart) return Boolean(frame);
  return now.shots.some((shot) => shot.name === current && shot.frames > 0);
}

/**
 * One state: {name (of the shape), word, act, noted (your press, when the word alone does not say it), first
 * (a quick
 * look), alone (words only)}.
 * @param {SetScreen} now  what the server sent
 * @param {{lost: Date | null, trouble: string, provisional: any}} pageState  what the page knows by itself;
 * provisional: {frame, word, words}
 */
export function state(now, pageState) {
  const frame = begun(now) ? now.frame : null;
  if (pageState.lost) return is("lost", STATE.since(pageState.lost), { alone: true, noted: startAgainInShort() });
  if (pageState.trouble) return is("stopped", pageState.trouble, { alone: true });
  if (!frame) return is("ready", beforeTheFirst(now));
  if (now.lamp_check && frame.word) return is("ready", STATE.lampsOffOnly);
  if (frame.chart) return is("chart", STATE.chart);
  if (!frame.word) {
    const quick = pageState.provisional?.frame === frame.id ? pageState.provisional : null;
    return quick ? is(quick.word, STATE.quickLook(quick.words), { first: true }) : is("wait", STATE.judging);
  }
  if (frame.pressed === "kept") return is("kept", afterKeep(now));
  if (frame.pressed === "again") {
    return is("noted", frame.word === "good" ? STATE.onceMore : frame.short_act, { noted: STATE.againNoted });
  }
  const sure = frame.word === "good" || frame.confidence >= 0.5;
  return is(frame.word, sure ? frame.short_act : `${frame.short_act} ${STATE.notSure}`);
}

/** @returns {{name: string, word: string, act: string, noted?: string, first?: boolean, alone?: boolean}} */
const is = (name, act, more = {}) => ({ name, word: STATE.words[name], act, ...more });

/** @param {SetScreen} now */
function beforeTheFirst(now) {
  if (now.lamp_check) return STATE.lampsOff;
  return now.caution || (now.current ? STATE.firstFrame(now.current) : STATE.begin);
}

/** @param {SetScreen} now */
function afterKeep(now) {
  const next = now.next_shot && now.shots.find((shot) => shot.name === now.next_shot);
  if (next) return !now.left_of_day && next.day_words ? STATE.dayDone(next.day_words) : STATE.nextOrAnother;
  return now.left ? STATE.stillToKeep(stillToKeep(now)) : STATE.allKept;
}

// The planned picture of a shot, by its address; empty when there is none yet.
import { ask } from "../core/ask.js";

export async function planned(shot) {
  const day = await ask("/plan/day");
  const key = day.day.shots.find((each) => each.name === shot)?.card?.picture_key;
  const drawn = (key && day.drawn[key]) || {};
  const quality = "clean" in drawn ? "clean" : "rough" in drawn ? "rough" : "";
  return quality ? `/plan/picture/${key}/${quality}.jpg` : "";
}

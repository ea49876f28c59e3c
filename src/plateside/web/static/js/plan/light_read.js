// The light she read herself: typed in lux, or by the settings with which the camera meters a card at the
// dish.
import { tell } from "../core/ask.js";
import { one } from "../core/dom.js";
import { Line } from "../core/line.js";
import { markField } from "../core/save.js";
import { ONE_LIGHT } from "./words.js";

/** Used instead of the forecast for as long as the page's server runs; `changed` after every new one. */
export function lightRead(lux, changed) {
  const input = one("#read-lx"), field = one("#read-light"), camera = one("#by-camera");
  const show = (value) => { input.value = value ?? ""; }, said = new Line();
  show(lux);
  input.addEventListener("change", async () => {
    const text = input.value.trim().replace(",", "."), typed = Number(text);
    try {
      const lux = text === "" ? null : Number.isFinite(typed) ? typed : text;
      await said.add(() => tell("/plan/lux", { lux }));
      markField(field, "");
      changed();
    } catch (wrong) { markField(field, wrong.message); }
  });
  one("button", camera).addEventListener("click", async () => {
    const by = Object.fromEntries(ONE_LIGHT.map(([name, id]) => [name, one(`#by-${id}`).value.trim()]));
    try {
      const done = said.add(() => tell("/plan/lux", { by })), { begun } = said, reply = await done;
      markField(camera, "");
      if (begun === said.begun) show(reply.lux);
      changed();
    } catch (wrong) { markField(camera, wrong.message); }
  });
}

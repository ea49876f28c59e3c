// Fields made anew while you write in one: the letters, the cursor and the focus go on in the new ones.

const inputs = (field) => [...field.element.querySelectorAll("input, select, textarea")];

/** What has the focus, or letters that are neither saved nor on their way. */
export function begun(fields) {
  const active = document.activeElement;
  return [...fields.all].filter((field) => field.writing || field.element.contains(active))
    .map((field) => {
      const { path, shown, writing, control: { element } } = field;
      return { path, shown, had: inputs(field).indexOf(active),
        letters: writing ? [element.value, element.selectionStart, element.selectionEnd] : null };
    });
}

/** Into the new fields; `moved`: where the thing of a path is by now, or null when it is gone. */
export function goOn(fields, were, moved) {
  for (const { path, shown, letters, had } of were) {
    const now = moved(path)?.join("."), field = [...fields.all].find((each) => each.path.join(".") === now);
    if (!field) continue;
    const { element } = field.control;
    if (letters) { [element.value] = letters; field.shown = shown; }
    inputs(field)[had]?.focus({ preventScroll: true });
    if (had >= 0 && letters) element.setSelectionRange(letters[1], letters[2]);
  }
}

/** A path of the value before, in the value now: by the thing's name, or called anew in its place. */
export function movedTo([list, n, ...rest], before, now) {
  if (!["shots", "channels"].includes(list)) return [list, n, ...rest];
  const named = now[list].findIndex((each) => each.name === before[list][n].name);
  const to = named < 0 && now[list].length === before[list].length ? n : named;
  return to < 0 ? null : [list, to, ...rest];
}

// Light in words where the page itself reads it out (the year, cell by cell), to the two figures that a prediction is good for.

/** 1683 -> "1700", 0.0132 -> "0.013". */
function twoFigures(value) {
  if (!value) return "0";
  const digits = 1 - Math.floor(Math.log10(Math.abs(value)));
  return digits > 0 ? value.toFixed(digits) : String(Math.round(value / 10 ** -digits) * 10 ** -digits);
}

/** "about 1700 lx (1100-2600) on the table". */
export function luxWords(lux, low, high) {
  return lux ? `about ${twoFigures(lux)} lx (${twoFigures(low)}-${twoFigures(high)}) on the table` : "no light";
}

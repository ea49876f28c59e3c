// A number as people write it: "1,2", "4 m 20", "120 cm", "f/2,8", "24-70".

const plain = (text) => text.trim().replace(/[\u2212\u2013]/g, "-").replace(/(\d),(\d)/g, "$1.$2");

/** In metres, or as it stands when it has no unit; null when it is empty, NaN when it is no number. */
export function length(text) {
  const said = plain(text);
  if (!said) return null;
  // a metre and its centimetres: two figures, unless "cm" stands behind
  const both = said.match(/^(\d+)\s*m\s*(?:(\d{2})|(\d{1,2})\s*cm)$/);
  if (both) return Number(both[1]) + Number(both[2] ?? both[3]) / 100;
  const match = said.match(/^(-?[\d.]+)\s*(m|cm|mm)?$/);
  return match ? Number(match[1]) * ({ cm: 0.01, mm: 0.001 }[match[2]] ?? 1) : NaN;
}

/** An f-number, with or without its "f/"; of a zoom's two ("3.5-5.6") the one that it has at every length. */
export function fNumber(text) {
  const both = plain(text).replace(/^f\s*\/?\s*/i, "").split(/\s*-\s*(?:f\s*\/?\s*)?/i).map(number);
  return both.length === 1 ? both[0] : both.length === 2
    && both.every((n) => n > 0) ? Math.max(...both) : NaN;
}

/** A count, with or without a unit behind it. */
export const count = (text) => number(plain(text).replace(/\s*(million|mp)$/i, ""));

/** A lens in millimetres: [its length, its long end or null]; null when it is empty, NaN when it is none. */
export function focal(text) {
  const zoom = plain(text).match(/^([\d.]+)\s*(?:mm)?\s*-\s*([\d.]+)\s*(?:mm)?$/i);
  if (zoom) return zoom.slice(1).some((end) => Number.isNaN(Number(end))) ? NaN : zoom.slice(1).map(Number);
  const one = number(plain(text).replace(/\s*mm$/i, ""));
  return Number.isNaN(one) || one === null ? one : [one, null];
}

/** A plain number; null when it is empty, NaN when it is none. */
export function number(text) {
  if (!text) return null;
  return /^-?(\d+\.?\d*|\.\d+)$/.test(text) ? Number(text) : NaN;
}

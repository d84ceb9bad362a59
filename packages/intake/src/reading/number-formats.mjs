// @ts-check
/**
 * What a workbook's number means by its format: ECMA-376 part 1, 18.8.30 lists the built-in formats; 14-17, 22 are dates and
 * 18-21, 45-47 times; 9 and 10 are percent. Dates count days from 1899-12-31 with a 29 February 1900 that never was, or from 1904-01-01.
 * @typedef {'number' | 'date' | 'percent'} Meaning
 */

/** @param {number} id @param {string | undefined} code @returns {Meaning} */
export function meaningOf(id, code) {
  if (code !== undefined) {
    // Letters in quotes, after a backslash or in [colour] do not count; [h] counts as time.
    const letters = code.replace(/"[^"]*"|\\.|_.|\*.|\[(?!h|m|s)[^\]]*\]/gi, '').split(';')[0] ?? '';
    if (/[dmyhs]/i.test(letters) && !/general/i.test(letters)) return 'date';
    return letters.includes('%') ? 'percent' : 'number';
  }
  if ((id >= 14 && id <= 22) || (id >= 27 && id <= 36) || (id >= 45 && id <= 47) || (id >= 50 && id <= 58))
    return 'date';
  return id === 9 || id === 10 ? 'percent' : 'number';
}

/** @param {number} n */
const two = (n) => String(n).padStart(2, '0');

/** A number as a person sees it: 15 digits, no exponent where it can be helped. @param {string} text @param {Meaning} meaning @param {boolean} from1904 */
export function numberText(text, meaning, from1904) {
  const value = Number(text);
  if (text.trim() === '' || !Number.isFinite(value)) return text;
  if (meaning === 'percent') return `${Number((value * 100).toPrecision(15))}%`;
  // Digits alone are kept as they stand, so that long numbers lose nothing more here.
  if (meaning === 'number') return /^-?\d+$/.test(text) ? text : String(Number(value.toPrecision(15)));
  if (value < 0 || value > 2_958_466) return text;
  const minutes = Math.round(value * 1440);
  const day = Math.floor(minutes / 1440);
  const clock = `${two(Math.floor((minutes % 1440) / 60))}:${two(minutes % 60)}`;
  if (day === 0) return clock;
  const sinceEpoch = day - (from1904 ? 24_107 : day < 60 ? 25_568 : 25_569);
  const date = new Date(sinceEpoch * 86_400_000).toISOString().slice(0, 10);
  return minutes % 1440 === 0 ? date : `${date} ${clock}`;
}

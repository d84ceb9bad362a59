/**
 * Lists as one line of text: items separated by '; '. An item that could be mistaken (it holds a semicolon or a quotation mark, has
 * blanks at an end, is empty, or is a word that stands for something else) goes in double quotes, with quotes inside doubled.
 */

const needsQuotes = (item: string, words: readonly string[]): boolean =>
  item === '' || item !== item.trim() || /[;"]/.test(item) || words.includes(item.toLowerCase());

const quoted = (item: string): string => `"${item.replaceAll('"', '""')}"`;

/** One item as text; `words` are the words (in small letters) that mean something else where it stands, such as 'none'. */
export const formatItem = (item: string, words: readonly string[] = []): string =>
  needsQuotes(item, words) ? quoted(item) : item;

export const formatList = (items: readonly string[], words: readonly string[] = []): string =>
  items.map((item) => formatItem(item, words)).join('; ');

/** The items of a list; empty text is no items, empty places between separators are skipped. Undefined when a quote is left open. */
export function parseList(text: string): string[] | undefined {
  const items: string[] = [];
  let at = 0;
  while (at < text.length) {
    while (at < text.length && /\s/.test(text.charAt(at))) at++;
    if (text.charAt(at) === '"') {
      const read = /^"((?:[^"]|"")*)"\s*(?:;|$)/.exec(text.slice(at));
      if (!read) return undefined;
      items.push((read[1] ?? '').replaceAll('""', '"'));
      at += read[0].length;
    } else {
      const next = text.indexOf(';', at);
      const end = next === -1 ? text.length : next;
      const item = text.slice(at, end).trim();
      if (item !== '') items.push(item);
      at = end + 1;
    }
  }
  return items;
}

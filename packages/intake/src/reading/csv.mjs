// @ts-check
import { CsvError, parse } from 'csv-parse';
import { textDecoder } from './decode.mjs';
import { Refusal, tooMuch } from './refusal.mjs';

/** The separator of the first line: the one of comma, semicolon and tab that stands most often outside quotes. @param {string} text */
export function separatorOf(text) {
  const counts = new Map([
    [',', 0],
    [';', 0],
    ['\t', 0],
  ]);
  let inside = false;
  for (const c of text) {
    if (c === '"') inside = !inside;
    else if (!inside && (c === '\n' || c === '\r')) {
      if ([...counts.values()].some((n) => n > 0)) break;
    } else if (!inside && counts.has(c)) counts.set(c, (counts.get(c) ?? 0) + 1);
  }
  return [...counts].reduce((best, next) => (next[1] > best[1] ? next : best))[0];
}

/**
 * Counts the separators of each record before the parser makes cells of them: a line of a million commas costs nothing.
 * @param {string} separator @param {number} most @param {string} sheet
 */
function columnGuard(separator, most, sheet) {
  const comma = separator.charCodeAt(0);
  let inside = false;
  let columns = 1;
  let row = 1;
  /** @param {string} text */
  return (text) => {
    for (let i = 0; i < text.length; i++) {
      const c = text.charCodeAt(i);
      if (c === 34) inside = !inside;
      else if (inside) continue;
      else if (c === 10) {
        columns = 1;
        row++;
      } else if (c === comma && ++columns > most) throw tooMuch('columns', most, { in: sheet, row });
    }
  };
}

/**
 * @param {AsyncIterable<Uint8Array> | Iterable<Uint8Array>} chunks
 * @param {string} file @param {string} sheet
 * @param {import('./read-bytes.mjs').Limits} limits
 * @param {import('./gather.mjs').Gather} out
 */
export async function readCsv(chunks, file, sheet, limits, out) {
  const decoder = textDecoder(file);
  out.sheet(sheet);
  let number = 0;
  /** @type {ReturnType<typeof parse> | undefined} */
  let parser;
  /** @type {ReturnType<typeof columnGuard>} */
  let guard = () => {};
  /** @type {unknown} */
  let failed;
  const HEAD = 65_536;
  let head = '';

  /** @param {string} text */
  const start = (text) => {
    const delimiter = separatorOf(text);
    guard = columnGuard(delimiter, limits.columns, sheet);
    const made = parse({
      delimiter,
      relax_column_count: true,
      max_record_size: limits.cellCharacters * 4,
    });
    made.on('error', (error) => {
      failed ??= error;
    });
    made.on('data', (/** @type {string[]} */ cells) => {
      number++;
      try {
        if (!failed) out.row(number, cells);
      } catch (error) {
        failed ??= error;
      }
    });
    return made;
  };
  /** @param {string} text */
  const feed = async (text) => {
    if (!parser) {
      head += text;
      if (head.length < HEAD) return;
      parser = start(head);
      text = head;
    }
    await push(parser, text);
  };
  /** @param {ReturnType<typeof parse>} to @param {string} text */
  const push = (to, text) =>
    new Promise((resolve, reject) => {
      guard(text);
      if (failed) reject(failed);
      else to.write(text, (error) => (error || failed ? reject(failed ?? error) : resolve(undefined)));
    });
  try {
    for await (const chunk of chunks) await feed(decoder.write(chunk));
    await feed(decoder.end());
    if (!parser) {
      parser = start(head);
      await push(parser, head);
    }
    const last = parser;
    await new Promise((resolve, reject) => {
      last.once('end', () => (failed ? reject(failed) : resolve(undefined)));
      last.once('error', reject);
      last.end();
    });
  } catch (error) {
    const at = { in: sheet, row: number + 1 };
    if (error instanceof Refusal) throw error;
    if (error instanceof CsvError && error.code === 'CSV_MAX_RECORD_SIZE')
      throw tooMuch('characters in a row', limits.cellCharacters * 4, at);
    throw new Refusal('FW-101', {
      at,
      found: error instanceof Error ? error.message.slice(0, 200) : String(error),
      expected: 'comma-separated values; a cell that holds a quotation mark is in quotes, with the mark doubled',
    });
  }
}

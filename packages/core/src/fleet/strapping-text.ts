import { formatDecimal, parseDecimal } from '../units/index.ts';
import type { Strapping } from './fields.ts';

/** A strapping table as text: 'in gal: 0 0; 1 12.5; 2 35.1'. Rows may also stand on lines of their own, as a spreadsheet pastes them. */

const PLACES = 4;
const shortest = (tenThousandths: number): string => formatDecimal(tenThousandths, PLACES, 0);

export const formatStrapping = ({ dip, volume, rows }: Strapping): string =>
  `${dip} ${volume}: ${rows.map(([d, v]) => `${shortest(d)} ${shortest(v)}`).join('; ')}`;

/** For a list or a sentence, where a hundred rows have no place. */
export function strappingWords({ dip, volume, rows }: Strapping): string {
  const [d, v] = rows.at(-1) ?? [0, 0];
  return `${rows.length} rows up to ${shortest(d)} ${dip}, ${shortest(v)} ${volume}`;
}

const HEAD = /^\s*(?:dip\s*)?\(?(mm|cm|in)\)?[\s,;]+(?:volume\s*)?\(?(l|gal)\)?\s*(?::|\n|;|$)/i;

/** Undefined for what is no such text: units must come first, then a dip and a volume a row. `number` reads digits with thousands parted. */
export function parseStrapping(text: string, number: (digits: string) => string | undefined): unknown {
  const head = HEAD.exec(text);
  if (!head) return undefined;
  const rows: [number, number][] = [];
  for (const line of text.slice(head[0].length).split(/[;\n\r]+/)) {
    if (line.trim() === '') continue;
    const cells = line
      .trim()
      .split(/\s+/)
      .map((cell) => {
        const plain = number(cell);
        return plain === undefined ? undefined : parseDecimal(plain, PLACES);
      });
    const [dip, volume] = cells;
    if (cells.length !== 2 || dip === undefined || volume === undefined) return undefined;
    rows.push([dip, volume]);
  }
  return { dip: head[1]?.toLowerCase(), volume: head[2]?.toLowerCase(), rows };
}

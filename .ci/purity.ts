import { readdirSync } from 'node:fs';
import { join } from 'node:path';

/** What core may not touch: clocks, chance, ids from chance, the process, the network, the page. */
const FORBIDDEN =
  /\b(Date\.now|new Date\(\)|performance\.now|Math\.random|crypto\.|process\.|setTimeout|setInterval|fetch\(|console\.|document\.|window\.|globalThis|Intl\.|toLocale\w*String|localeCompare)/;
/** Intl is how a zone's table is made, once, at the edge; nothing else in core may ask the runtime about the world. */
const ALLOWED = new Map([['packages/core/src/units/zone.ts', /Intl\./]]);

export interface Impurity {
  readonly file: string;
  readonly line: number;
  readonly what: string;
}

export function impurities(folder: string, read: (path: string) => string): Impurity[] {
  const found: Impurity[] = [];
  for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile() || !entry.name.endsWith('.ts') || entry.name.endsWith('.test.ts')) continue;
    const file = join(entry.parentPath, entry.name);
    for (const [i, line] of read(file).split('\n').entries()) {
      const code = line.replace(/\/\/.*$/, '').replace(/^\s*\*.*$/, '');
      const what = FORBIDDEN.exec(code)?.[1];
      if (what && !ALLOWED.get(file)?.test(code)) found.push({ file, line: i + 1, what });
    }
  }
  return found;
}

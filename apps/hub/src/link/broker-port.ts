import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

/** Boxes keep the broker's address that they were given when they joined: a port that was found free once is taken again. */
const fileIn = (folder: string): string => join(folder, 'broker.port');

/** The port that boxes of this folder know; 0 where there is none yet. */
export function keptPort(folder: string): number {
  const file = fileIn(folder);
  const port = existsSync(file) ? Number(readFileSync(file, 'utf8')) : 0;
  return Number.isInteger(port) && port > 0 && port <= 65_535 ? port : 0;
}

export function keepPort(folder: string, port: number): void {
  if (port !== keptPort(folder)) writeFileSync(fileIn(folder), String(port), { mode: 0o600, flush: true });
}

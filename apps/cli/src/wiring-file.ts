import { readFileSync } from 'node:fs';
import { problem } from '@fillwright/core/errors';
import { readWiring, type Wiring } from '@fillwright/devices';
import { Stopped } from './output.ts';

/** The wiring that a file tells of; ends the command with every problem that it has. */
export function wiringIn(path: string): Wiring {
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (error) {
    throw new Stopped([
      problem('FW-610', { cause: 'The wiring file cannot be read.', at: { in: path }, found: String(error) }),
    ]);
  }
  const read = readWiring(text);
  if (!read.ok) throw new Stopped(read.error);
  return read.value;
}

import { z } from 'zod';
import type { FromReader } from './draft-read.ts';

// As on the page: no code made from text, said before any schema is made.
z.config({ jitless: true });
const say = (said: FromReader) => postMessage(said);
const { readHere, told } = await import('./draft-read.ts');

const read = await readHere();
if (read.ok) for (const said of told(read.value)) say(said);
else say({ failed: read.error });

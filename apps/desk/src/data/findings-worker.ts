import { z } from 'zod';
import type { ToWorker } from './findings-message.ts';

// As on the page: no code made from text, said before any schema is made.
z.config({ jitless: true });
const PIECE = 1000;
const loaded = import('./findings-answer.ts');

addEventListener('message', async (event: MessageEvent<ToWorker>) => {
  const { take } = await loaded;
  const found = take(event.data);
  if (!found) return;
  // In pieces, so that the page never reads many thousands at once.
  for (let from = 0; from === 0 || from < found.length; from += PIECE)
    postMessage({ found: found.slice(from, from + PIECE), last: from + PIECE >= found.length });
});

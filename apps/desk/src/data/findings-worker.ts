import { z } from 'zod';
import type { ToWorker } from './findings-message.ts';

// As on the page: no code made from text, said before any schema is made.
z.config({ jitless: true });
const loaded = import('./findings-answer.ts');

addEventListener('message', async (event: MessageEvent<ToWorker>) => {
  const { take } = await loaded;
  const found = take(event.data);
  if (found) postMessage(found);
});

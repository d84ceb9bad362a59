import { z } from 'zod';
import type { FromReach, ToReach } from './message.ts';

// As on the page: no code made from text, said before any schema is made.
z.config({ jitless: true });
const loaded = import('./answer.ts').then(({ answering }) => answering());
const say = (answer: FromReach) => postMessage(answer);

addEventListener('message', async (event: MessageEvent<ToReach>) => {
  try {
    const take = await loaded;
    await take(event.data, say);
  } catch (error) {
    say({ kind: 'failed', sentence: `It could not be worked out: ${error instanceof Error ? error.message : error}` });
  }
});

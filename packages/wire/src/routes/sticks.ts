import { signedText } from '../messages.ts';
import { stickFile, stickTaken } from '../stick.ts';
import { type Route, siteParams } from './route.ts';

export const sticks = {
  stickFor: {
    method: 'GET',
    path: '/api/sites/:site/stick',
    may: 'technician',
    summary: 'All that a site is owed, as a signed file to carry to its box',
    params: siteParams,
    reply: stickFile,
  },
  takeStick: {
    method: 'POST',
    path: '/api/sticks',
    may: 'technician',
    summary: 'Take the file that a box has written: its journal, what it runs and what it took',
    body: signedText,
    reply: stickTaken,
  },
} as const satisfies Record<string, Route>;

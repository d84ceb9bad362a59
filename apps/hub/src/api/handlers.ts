import { draftHandlers } from './draft.ts';
import { peopleHandlers } from './people.ts';
import type { Handlers } from './route.ts';

/** Every route's handler; the type-checker sees that none is missing. */
export const handlers: Handlers = { ...peopleHandlers, ...draftHandlers } as Handlers;

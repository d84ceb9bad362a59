import type { DeskEvent } from '@fillwright/wire';
import type { Logger } from 'pino';
import type { Drafts } from './draft/drafts.ts';
import type { Database } from './store/database.ts';

export const VERSION = '0.1.0';

/** What every part of a running hub shares. */
export interface App {
  readonly db: Database;
  readonly drafts: Drafts;
  readonly log: Logger;
  /** Milliseconds UTC. */
  readonly now: () => number;
  readonly randomId: () => string;
  /** Tells every desk of a fleet that something has changed. */
  tell(fleet: string, event: DeskEvent): void;
}

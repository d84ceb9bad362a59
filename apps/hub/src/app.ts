import type { DeskEvent } from '@fillwright/wire';
import type { Logger } from 'pino';
import type { Drafts } from './draft/drafts.ts';
import type { FiguresThread } from './figures/thread.ts';
import type { ImportsThread } from './imports/thread.ts';
import type { Link } from './link/contract.ts';
import type { OfficeKeys } from './office/keys.ts';
import type { PapersThread } from './papers/thread.ts';
import type { ReachThread } from './reach/thread.ts';
import type { Released } from './release/released.ts';
import type { TankWatch } from './stock/watch.ts';
import type { Database } from './store/database.ts';

export const VERSION = '0.1.0';

/** What every part of a running hub shares. */
export interface App {
  readonly db: Database;
  readonly drafts: Drafts;
  readonly released: Released;
  readonly reach: ReachThread;
  readonly figures: FiguresThread;
  readonly papers: PapersThread;
  readonly imports: ImportsThread;
  readonly tanks: TankWatch;
  readonly keys: OfficeKeys;
  /** The broker as boxes reach it. */
  readonly mqttUrl: string;
  readonly log: Logger;
  /** Milliseconds UTC. */
  readonly now: () => number;
  readonly randomId: () => string;
  /** Tells every desk of a fleet that something has changed. */
  tell(fleet: string, event: DeskEvent): void;
  /** Ends the line of a site's former box. */
  dropBox(fleet: string, site: string): void;
  readonly link: Pick<Link, 'sendKeys' | 'sendWanted' | 'sendStops' | 'sayStop' | 'sendPins' | 'sayStored' | 'take'>;
}

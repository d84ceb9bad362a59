import type { AckMessage, EntriesMessage, SignedText } from '@fillwright/wire';
import type { Stored } from '../ledger/store-entries.ts';

/** What the hub says to sites and hears from them. */
export interface Link {
  heard(topic: string, payload: Buffer): Promise<void>;
  /** Stores entries of a site's journal as if its box had sent them, and tells of them; what a box would have been answered. */
  take(fleet: string, site: string, message: EntriesMessage): Promise<Stored>;
  /** A box has signed in at the embedded broker: what it is owed is sent when it next speaks. */
  came(fleet: string, site: string): void;
  /** The line to the broker is open, for the first time or again. */
  opened(): void;
  /** How the office's key was given on, where it ever was. */
  sendKeys(fleet: string, site: string): void;
  sendWanted(fleet: string, site: string): Promise<void>;
  sendStops(fleet: string, site: string): Promise<void>;
  /** One order that has just been kept: it waits for no look into the database. */
  sayStop(fleet: string, site: string, order: SignedText): void;
  sendPins(fleet: string, site: string): Promise<void>;
  /** Acknowledges what is stored, once it is committed. */
  sayStored(fleet: string, site: string, ack: AckMessage): void;
  stop(): Promise<void>;
}

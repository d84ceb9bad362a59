import type { Journal } from './journal.ts';

/** What a journal does for whoever keeps one, without saying on what: a simulation keeps it in memory, with a disk's faults. */
export type JournalPort = Pick<Journal, keyof Journal>;

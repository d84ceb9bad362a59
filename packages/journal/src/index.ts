export {
  type Appended,
  Journal,
  type JournalOptions,
  MAX_PAYLOAD_BYTES,
  openJournal,
  type StateWrites,
} from './journal.ts';
export type { JournalPort } from './port.ts';
export type { Entry } from './walk.ts';

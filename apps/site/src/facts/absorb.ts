import type { StateWrites } from '@fillwright/journal';

/** What an entry changes beside the journal: written with it or not at all; taken into memory once it is durable. */
export interface Absorbed {
  readonly writes: StateWrites;
  readonly commit: () => void;
}

import type { Edit, Fleet } from '@fillwright/core/fleet';
import type { RosterMapping } from '@fillwright/intake';
import type { Staged } from '@fillwright/wire';

interface File {
  /** What was read (`RawIntake`) as JSON: a text is sent and stored as it is. */
  readonly raw: string;
  /** The draft that it would change. */
  readonly base: Fleet;
}

/** What is asked of the thread that turns the rows of a file into edits. A null mapping: a workbook of ours. */
export type Question =
  | ({ readonly kind: 'stage' } & File)
  | ({ readonly kind: 'map'; readonly mapping: RosterMapping } & File)
  | ({ readonly kind: 'take'; readonly mapping: RosterMapping | null } & File);

/** What the file would change, for a look. */
export type Look = Omit<Staged, 'id' | 'name' | 'mapping'> & { readonly mapping: RosterMapping | null };

export type AnswerTo = {
  readonly stage: Look;
  readonly map: Look;
  readonly take: readonly Edit[];
};

import type { Fleet } from '@fillwright/core/fleet';
import type { About } from '@fillwright/core/reach';
import type { Paper } from '@fillwright/paper';

/** What is asked of the thread that sets papers. */
export type Question =
  | { readonly kind: 'pdf'; readonly paper: Paper }
  | {
      readonly kind: 'access';
      readonly fleet: Fleet;
      readonly about: About;
      readonly of: { readonly words: string; readonly draft: boolean };
      /** Milliseconds UTC; told by the clock of `site`, or by UTC. */
      readonly at: number;
      readonly site: string | undefined;
    };

export type AnswerTo = {
  readonly pdf: Uint8Array;
  readonly access: Uint8Array;
};

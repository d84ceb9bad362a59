import type { FindingReply, Preview, ReplyOf } from '@fillwright/wire';

export type Stands = ReplyOf<'releaseStands'>;

/** The names under which words for what reach has to say are given. */
export const GAINED = 'gained';
export const wordFor = (expectation: string): string => `expectation:${expectation}`;

/** What stands between a draft and its release. */
export interface Gate {
  readonly errors: readonly FindingReply[];
  readonly warnings: readonly FindingReply[];
  /** Whatever wants a word, by the name under which it is given: warnings, broken expectations, what is gained. */
  readonly wanted: readonly string[];
  /** Those without a word. */
  readonly open: readonly string[];
  /** Why it cannot be released now, in words; undefined when it can. */
  readonly stops: string | undefined;
}

export function gateOf(
  preview: Preview,
  words: Readonly<Record<string, string>>,
  stands: Stands | undefined,
  draft: { readonly version: number; readonly kept: boolean; readonly may: boolean },
): Gate {
  const errors = preview.findings.filter((f) => f.severity === 'error');
  const warnings = preview.findings.filter((f) => f.severity === 'warning');
  const wanted = [
    ...warnings.map((f) => f.id),
    ...(stands?.broken.map((e) => wordFor(e.id)) ?? []),
    ...(stands && stands.gained.points !== '0' ? [GAINED] : []),
  ];
  const open = wanted.filter((id) => (words[id] ?? '').trim() === '');
  const stops = !draft.may
    ? 'Only an editor or an owner can release.'
    : preview.same
      ? 'There is nothing to release: the draft equals what was last released.'
      : !draft.kept || preview.version !== draft.version
        ? 'Waiting until the office has every change …'
        : errors.length > 0
          ? 'Errors stand against this draft: mend them first.'
          : open.length > 0
            ? 'Give each of these a word first: why it may stand.'
            : stands === undefined || stands.version !== preview.version
              ? 'Waiting until the office has worked out who gains and what the customer expects …'
              : undefined;
  return { errors, warnings, wanted, open, stops };
}

/** The words to send: those of what still stands, trimmed. */
export const wordsFor = (gate: Gate, words: Readonly<Record<string, string>>): Record<string, string> =>
  Object.fromEntries(gate.wanted.map((id) => [id, (words[id] ?? '').trim()]));

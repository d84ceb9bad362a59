import type { FindingReply, Preview } from '@fillwright/wire';

/** What stands between a draft and its release. */
export interface Gate {
  readonly errors: readonly FindingReply[];
  readonly warnings: readonly FindingReply[];
  /** Warnings without a word. */
  readonly open: readonly FindingReply[];
  /** Why it cannot be released now, in words; undefined when it can. */
  readonly stops: string | undefined;
}

export function gateOf(
  preview: Preview,
  words: Readonly<Record<string, string>>,
  draft: { readonly version: number; readonly kept: boolean; readonly may: boolean },
): Gate {
  const errors = preview.findings.filter((f) => f.severity === 'error');
  const warnings = preview.findings.filter((f) => f.severity === 'warning');
  const open = warnings.filter((f) => (words[f.id] ?? '').trim() === '');
  const stops = !draft.may
    ? 'Only an editor or an owner can release.'
    : preview.same
      ? 'There is nothing to release: the draft equals what was last released.'
      : !draft.kept || preview.version !== draft.version
        ? 'Waiting until the office has every change …'
        : errors.length > 0
          ? 'Errors stand against this draft: mend them first.'
          : open.length > 0
            ? 'Give each warning a word first: why it may stand.'
            : undefined;
  return { errors, warnings, open, stops };
}

/** The words to send: those of warnings that still stand, trimmed. */
export const wordsFor = (gate: Gate, words: Readonly<Record<string, string>>): Record<string, string> =>
  Object.fromEntries(gate.warnings.map((f) => [f.id, (words[f.id] ?? '').trim()]));

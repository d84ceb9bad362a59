import { BLOCKS } from './blocks.ts';
import { stateDiagram } from './diagram.ts';
import { ALARMS, END_REASONS } from './entries.ts';
import { HOSE_NAMES, HOSE_SIGNALS, HOSE_TABLE } from './hose-table.ts';
import { SESSION_NAMES, SESSION_SIGNALS, SESSION_TABLE } from './session-table.ts';
import { TIMERS } from './timers.ts';

interface AnyCell {
  readonly does: string;
  readonly to: readonly string[];
}

function table(
  title: string,
  states: readonly string[],
  signals: readonly string[],
  cells: Readonly<Record<string, Readonly<Record<string, AnyCell>>>>,
): string[] {
  const out: string[] = [`## ${title}`, '', ...stateDiagram(cells)];
  for (const state of states) {
    out.push(`### ${state}`, '', '| when | does | may lead to |', '| --- | --- | --- |');
    const row = cells[state] ?? {};
    for (const signal of signals) {
      const cell = row[signal];
      if (cell)
        out.push(`| \`${signal}\` | ${cell.does} | ${cell.to.map((s) => `\`${s}\``).join(', ') || 'the same'} |`);
    }
    const none = signals.filter((s) => !row[s]);
    out.push('', `Nothing is done for: ${none.map((s) => `\`${s}\``).join(', ')}.`, '');
  }
  return out;
}

/** The machine's tables as a page of the documentation, made from the tables themselves. */
export function islandReference(): string {
  const lines = [
    '# The site as a machine',
    '',
    'Made from the tables in `packages/core/src/island`; do not edit by hand. A session is a person at a terminal; a hose goes its own',
    'way once it has been handed over, so that the terminal is free for the next person. A hose is armed only after its authorisation',
    'is durable in the journal, and every doubt stops it. What stands here never replaces an emergency stop, an overfill device, a leak',
    'detector or a certified meter seal; local codes and licensed people come first.',
    '',
    ...table('Session', SESSION_NAMES, SESSION_SIGNALS, SESSION_TABLE as never),
    ...table('Hose', HOSE_NAMES, HOSE_SIGNALS, HOSE_TABLE as never),
    '## Timers',
    '',
    '| timer | of | runs | length | what the record then says |',
    '| --- | --- | --- | --- | --- |',
    ...Object.entries(TIMERS).map(
      ([name, x]) =>
        `| \`${name}\` | ${x.of} | ${x.runs} | ${typeof x.length === 'number' ? `${x.length / 1_000} s` : x.length} | ${x.record} |`,
    ),
    '',
    '## What blocks a hose, and how it is lifted',
    '',
    '| block | in words | a running fill ends as | lifted by | when |',
    '| --- | --- | --- | --- | --- |',
    ...Object.entries(BLOCKS).map(
      ([name, b]) =>
        `| \`${name}\` | ${b.words} | \`${b.ends}\` | ${b.lifted === 'person' ? 'a person' : 'itself'} | ${b.how} |`,
    ),
    '',
    '## Why a fill ended',
    '',
    ...Object.entries(END_REASONS).map(([name, words]) => `- \`${name}\`: ${words}`),
    '',
    '## Alarms',
    '',
    ...Object.entries(ALARMS).map(([name, words]) => `- \`${name}\`: ${words}`),
    '',
  ];
  return lines.join('\n');
}

import type { Check } from './check.ts';
import { CHECKS } from './checks/index.ts';

const ROOMS = { '1': 'Plumbing', '2': 'Roster and policy', '3': 'Texts and prices' } as const;

/** The page that lists every finding, made from the checks themselves. */
export function findingsReference(checks: readonly Check[] = CHECKS): string {
  const lines = [
    '# Findings',
    '',
    'What the checks can find in a fleet. An **error** keeps a draft from being released; a **warning** needs a word at release; a',
    '**note** needs nothing. This page is made from the checks: do not edit it.',
  ];
  for (const [digit, room] of Object.entries(ROOMS)) {
    lines.push('', `## ${room}`);
    for (const c of checks.filter((check) => check.code.charAt(1) === digit))
      lines.push(
        '',
        `### ${c.code} ${c.title}`,
        '',
        `*${c.severity}*. ${c.reason}`,
        '',
        `Mend: ${c.mend}`,
        '',
        `Source: ${c.source}.`,
      );
  }
  return `${lines.join('\n')}\n`;
}

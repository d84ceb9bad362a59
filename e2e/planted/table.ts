import { PLANTED } from './faults.ts';

/** The table of docs/reference/planted-faults.md. `noticed`: by the fault's id; without a word of one it was not run. */
export function tableOf(noticed: ReadonlyMap<string, boolean>): string {
  const count = (is: boolean) => PLANTED.filter((f) => noticed.get(f.id) === is).length;
  const word = (id: string) => (noticed.has(id) ? (noticed.get(id) ? 'yes' : 'NO') : 'not run yet');
  const run = count(true) + count(false);
  return [
    '# Planted faults',
    '',
    'A test that cannot fail proves nothing. `npx tsx e2e/planted/main.ts` puts each of these faults into the source, one at a time,',
    'runs the check that must notice it, and writes this table (`e2e/planted/faults.ts` has the very words that are replaced).',
    `Of ${PLANTED.length} faults ${run} were run, and ${count(true)} of these were noticed by the check that is named.`,
    '',
    '| fault | planted in | check | noticed |',
    '| --- | --- | --- | --- |',
    ...PLANTED.map((f) => `| ${f.what} | \`${f.file}\` | ${f.by} (\`${f.test}\`) | ${word(f.id)} |`),
    '',
  ].join('\n');
}

import type { WorksheetReply } from '@fillwright/wire';
import type { Waiting } from './outbox.ts';

export type Result = Omit<WorksheetReply['results'][number], 'ref'> & { readonly sent: boolean };

/** What stands for each step: the newest of what the office has and of what this tablet has not sent yet. */
export function standingOf(
  sheet: Pick<WorksheetReply, 'results'>,
  waiting: readonly Waiting[],
  by: string,
): ReadonlyMap<string, Result> {
  const standing = new Map<string, Result>();
  for (const r of sheet.results) standing.set(r.step, { ...r, sent: true });
  for (const w of waiting) {
    if (w.kind !== 'result') continue;
    const known = standing.get(w.step);
    if (known && known.at > w.at) continue;
    standing.set(w.step, { step: w.step, verdict: w.verdict, at: w.at, by, note: w.note, sent: false });
  }
  for (const [step, r] of standing) if (r.verdict === 'open') standing.delete(step);
  return standing;
}

/** How far a sheet is. It may be signed when nothing is open and nothing is out of order. */
export function progressOf(
  sheet: Pick<WorksheetReply, 'sheet'>,
  standing: ReadonlyMap<string, Result>,
): {
  readonly all: number;
  readonly done: number;
  readonly journal: number;
  readonly bad: number;
  readonly ready: boolean;
} {
  const { steps } = sheet.sheet;
  const results = steps.flatMap((s) => standing.get(s.id) ?? []);
  const bad = results.filter((r) => r.verdict === 'bad').length;
  return {
    all: steps.length,
    done: results.length - bad,
    journal: results.filter((r) => r.by === 'journal').length,
    bad,
    ready: results.length === steps.length && bad === 0,
  };
}

/** Points in a box of 600 by 200 as the path of an SVG; a stroke of one point is a dot. */
export function pathOf(strokes: readonly (readonly (readonly [number, number])[])[]): string {
  const whole = (v: number, most: number) => Math.round(Math.min(most, Math.max(0, v)));
  return strokes
    .filter((s) => s.length > 0)
    .map((stroke) => {
      const [first, ...rest] = stroke.map(([x, y]) => `${whole(x, 600)} ${whole(y, 200)}`);
      return `M${first} ${(rest.length > 0 ? rest : [first]).map((p) => `L${p}`).join(' ')}`;
    })
    .join(' ');
}

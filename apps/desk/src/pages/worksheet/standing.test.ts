import { SIGNATURE } from '@fillwright/wire';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { pathOf, progressOf, standingOf } from './standing.ts';

const result = (step: string, verdict: 'good' | 'bad' | 'open', at: number, by = 'Ada') => ({
  step,
  verdict,
  at,
  by,
  note: '',
  ref: null,
});
const wait = (step: string, verdict: 'good' | 'bad' | 'stands' | 'open', at: number) => ({
  kind: 'result' as const,
  id: `${step}-${at}-id`,
  worksheet: 'w',
  step,
  verdict,
  at,
  note: '',
});

test('the newest stands, sent or not; what is taken back is open again', () => {
  const sheet = { results: [result('a', 'good', 5), result('b', 'bad', 5), result('c', 'good', 9, 'journal')] };
  const standing = standingOf(
    sheet,
    [wait('a', 'open', 6), wait('b', 'good', 7), wait('c', 'bad', 8), wait('d', 'good', 1)],
    'Bo',
  );
  expect(standing.has('a')).toBe(false);
  expect(standing.get('b')).toMatchObject({ verdict: 'good', by: 'Bo', sent: false });
  expect(standing.get('c')).toMatchObject({ verdict: 'good', by: 'journal', sent: true });
  expect(standing.get('d')).toMatchObject({ sent: false });
  const steps = ['b', 'c', 'd'].map((id) => ({ id }));
  const of = (ids: { id: string }[]) => progressOf({ sheet: { steps: ids } } as never, standing);
  expect(of(steps)).toEqual({ all: 3, done: 3, journal: 1, bad: 0, ready: true });
  expect(of([...steps, { id: 'a' }]).ready).toBe(false);
});

test('whatever is drawn, the office takes it for a signature', () => {
  const point = fc.tuple(
    fc.double({ min: -50, max: 700, noNaN: true }),
    fc.double({ min: -50, max: 300, noNaN: true }),
  );
  fc.assert(
    fc.property(
      fc.array(fc.array(point, { minLength: 1, maxLength: 20 }), { minLength: 1, maxLength: 6 }),
      (strokes) => {
        expect(pathOf(strokes)).toMatch(SIGNATURE);
      },
    ),
    { numRuns: 60 },
  );
  expect(pathOf([])).toBe('');
});

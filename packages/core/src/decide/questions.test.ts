import { describe, expect, it } from 'vitest';
import { newRow, type Question } from '../fleet/index.ts';
import { judgeAnswer, rightAnswer, unanswerable } from './questions.ts';
import { NO_USAGE } from './recorded-usage.ts';

const question = (more: Partial<Question>): Question => newRow('questions', { id: 'q', prompt: 'Q', ...more });
const KINDS = ['odometer', 'hours', 'job', 'text'] as const;
const LISTS = [[], ['Red'], ['A 1'], ['1234567'], ['A 1', 'Red'], [' blue '], ['']];
/** Whatever a person might key. */
const KEYED = ['0', '1', '7', 'Red', 'red ', 'A 1', '1234567', 'blue', '', 'Ω9'];

describe('an answer that passes where nothing was read before', () => {
  it('is found exactly where one of those that a person might key passes, and is one that passes', () => {
    let none = 0;
    for (const kind of KINDS)
      for (const accepted of LISTS)
        for (const digits of [1, 3, 9]) {
          const q = question({ kind, accepted, digits });
          const passes = (answer: string) => judgeAnswer(q, answer, null, NO_USAGE)?.says === 'pass';
          const found = rightAnswer(q);
          expect(unanswerable(q)).toBe(found === undefined);
          expect(found === undefined ? KEYED.some(passes) : !passes(found), JSON.stringify(q)).toBe(false);
          if (found === undefined) none++;
        }
    expect(none).toBeGreaterThan(5);
  });
});

describe('a reading', () => {
  const odometer = question({
    kind: 'odometer',
    digits: 6,
    leastAdvance: 5,
    mostAdvance: 100,
    whenImplausible: 'note',
  });
  const vehicle = { id: 'v', counter: 'odometer' } as Parameters<typeof judgeAnswer>[2];
  const judge = (answer: string, last: number | undefined, q = odometer) =>
    judgeAnswer(q, answer, vehicle, { ...NO_USAGE, lastReading: () => last });

  it('may advance by as little and by as much as is said, and no further', () => {
    expect(judge('1005', 1000)).toEqual({ says: 'pass' });
    expect(judge('1004', 1000)).toEqual({ says: 'note', why: 'tooLittle', last: 1000 });
    expect(judge('1100', 1000)).toEqual({ says: 'pass' });
    expect(judge('1101', 1000)).toEqual({ says: 'note', why: 'tooMuch', last: 1000 });
    expect(judge('1', undefined)).toEqual({ says: 'pass' });
  });

  it('is of digits alone, and of no more than are said', () => {
    for (const answer of ['', 'x1', '1x', '1 2', '-1', '1.5', '1234567']) expect(judge(answer, 0)?.says).toBe('refuse');
    expect(judge(' 99 ', 0)).toEqual({ says: 'pass' });
  });

  it('is not held to the last one where neither bound is said', () => {
    expect(judge('1', 1000, { ...odometer, leastAdvance: null, mostAdvance: null })).toEqual({ says: 'pass' });
    expect(judge('1', 1000, { ...odometer, leastAdvance: null })).toMatchObject({ why: 'tooLittle' });
    expect(judge('2000', 1000, { ...odometer, mostAdvance: null })).toEqual({ says: 'pass' });
  });
});

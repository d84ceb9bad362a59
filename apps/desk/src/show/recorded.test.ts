import { emptyFleet, newRow } from '@fillwright/core/fleet';
import { describe, expect, it } from 'vitest';
import { recordedOf } from './recorded.ts';

const fleet = {
  ...emptyFleet({ name: 'Invented', units: 'us' as const, currency: 'USD' }),
  drivers: new Map([['ada', newRow('drivers', { id: 'ada', name: 'Ada Fenn' })]]),
};

describe('a decision on record', () => {
  it('reads what each rule said where the figures were not kept', () => {
    const r = recordedOf(
      {
        kind: 'refused',
        reason: 'holder-dates',
        steps: [
          { rule: 'holder-active', says: 'pass', on: { table: 'drivers', id: 'ada' } },
          { rule: 'holder-dates', says: 'refuse', on: { table: 'drivers', id: 'ada' } },
        ],
      },
      fleet,
    );
    expect(r).toMatchObject({ approved: false, by: 'holder-dates' });
    expect(r?.lines.map((l) => [l.text, l.says, l.decides])).toEqual([
      ['Ada Fenn', 'pass', false],
      ['Ada Fenn', 'refuse', true],
    ]);
    expect(r?.next).toContain('Extend');
  });
  it('speaks in full sentences where they were', () => {
    const steps = [{ rule: 'card-known', says: 'refuse', facts: { number: '4711', why: 'unknown' } }];
    expect(recordedOf({ approved: false, by: steps[0], steps }, fleet)?.lines[0]).toMatchObject({
      text: 'The number 4711 is not in the roster.',
      decides: true,
    });
  });
  it('names the limit of an approval and the rule that set it', () => {
    const r = recordedOf(
      {
        by: 'hose-most',
        limitUl: 75_708_236,
        steps: [{ rule: 'hose-most', says: 'limit', limit: 75_708_236, on: { table: 'hoses', id: 'h' } }],
      },
      fleet,
    );
    expect(r).toMatchObject({ approved: true, limit: 75_708_236 });
    expect(r?.lines[0]).toMatchObject({ text: 'h: at most 20.0 gal', decides: true });
  });
  it('is nothing where there is no decision, and leaves out what it does not know', () => {
    expect(recordedOf(null, fleet)).toBeUndefined();
    expect(recordedOf({}, fleet)).toBeUndefined();
    expect(recordedOf({ reason: 'timeout', steps: [{ rule: 'constructor', says: 'pass' }] }, fleet)).toMatchObject({
      lines: [],
      next: '',
    });
  });
});

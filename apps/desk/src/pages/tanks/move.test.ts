import { describe, expect, it } from 'vitest';
import { EMPTY_BILL } from './bill.ts';
import { type MoveForm, moveOf, oddity, writingOf } from './move.ts';

const form: MoveForm = { kind: 'delivery', volume: '100', date: '2026-11-25', time: '06:12', note: '' };
const now = Date.UTC(2026, 10, 25, 13);
const of = (part: Partial<MoveForm>) => moveOf({ ...form, ...part }, 'gal', 'America/Chicago', now);

describe('a move in a tank’s book', () => {
  it('takes gallons and the site’s clock', () => {
    // 100 US gal = 378,541,178.4 uL (NIST Handbook 44, appendix C), rounded once
    expect(of({})).toEqual({
      ok: true,
      value: { kind: 'delivery', volume: 378_541_178, at: Date.UTC(2026, 10, 25, 12, 12), note: '' },
    });
    expect(moveOf({ ...form, volume: '1.5' }, 'l', 'UTC', now)).toMatchObject({ value: { volume: 1_500_000 } });
  });
  it.each([
    [{ volume: 'ten' }, 'volume'],
    [{ volume: '0' }, 'volume'],
    [{ kind: 'dip', volume: '-1' }, 'volume'],
    [{ kind: 'correction', volume: '0', note: 'x' }, 'volume'],
    [{ kind: 'correction', volume: '-1' }, 'note'],
    [{ time: '08:00' }, 'at'],
    [{ date: '2026-03-08', time: '02:30' }, 'at'],
  ] as const)('refuses %j and says which field', (part, field) => {
    expect(of(part)).toMatchObject({ ok: false, error: { at: { field } } });
  });
  it('takes an empty tank’s dip and a correction downwards with its reason', () => {
    expect(of({ kind: 'dip', volume: '0' }).ok).toBe(true);
    expect(of({ kind: 'correction', volume: '-2.5', note: ' meter proved ' })).toMatchObject({
      value: { volume: -9_463_529, note: 'meter proved' },
    });
  });
  it('asks about what is odd', () => {
    const tank = { capacity: 1000, safeFill: 95, book: 900 };
    expect(oddity({ kind: 'delivery', volume: 50, at: 0, note: '' }, tank)).toBeUndefined();
    expect(oddity({ kind: 'delivery', volume: 51, at: 0, note: '' }, tank)).toContain('safe fill');
    expect(oddity({ kind: 'dip', volume: 1001, at: 0, note: '' }, tank)).toContain('more than');
    // The first delivery into a tank whose book began without an opening level.
    expect(oddity({ kind: 'delivery', volume: 50, at: 0, note: '' }, { ...tank, book: -60 })).toBeUndefined();
    expect(oddity({ kind: 'correction', volume: -901, at: 0, note: 'x' }, tank)).toContain('less than nothing');
  });
});

describe('what is written of a move', () => {
  const written = (part: Partial<MoveForm>, bill = EMPTY_BILL) =>
    writingOf({ ...form, ...part }, bill, 'l', 'UTC', now);

  it('is a delivery with its bill, and nothing but the move for a dip', () => {
    expect(written({ note: ' BL 17 ' }, { net: '99', temperature: '20', compartments: '60, 40' })).toMatchObject({
      value: {
        delivery: {
          gross: 100_000_000,
          net: 99_000_000,
          tempC: 20,
          compartments: [60_000_000, 40_000_000],
          document: 'BL 17',
        },
      },
    });
    const dip = written({ kind: 'dip' }, { ...EMPTY_BILL, net: 'what a delivery would refuse' });
    expect(dip).toMatchObject({ ok: true, value: { move: { kind: 'dip' }, delivery: undefined } });
  });

  it('says what is wrong with form or bill, and cuts nothing that was typed', () => {
    expect(written({ volume: 'ten' })).toMatchObject({ error: { at: { field: 'volume' } } });
    expect(written({}, { ...EMPTY_BILL, compartments: '60' })).toMatchObject({
      error: { at: { field: 'compartments' } },
    });
    expect(written({ note: 'n'.repeat(100) })).toMatchObject({ value: { delivery: { document: 'n'.repeat(100) } } });
    expect(written({ note: 'n'.repeat(101) })).toMatchObject({ ok: false, error: { at: { field: 'note' } } });
    expect(written({ kind: 'dip', note: 'n'.repeat(101) }).ok).toBe(true);
  });
});

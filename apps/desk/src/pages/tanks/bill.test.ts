import { describe, expect, it } from 'vitest';
import { billOf, EMPTY_BILL, volumesOf } from './bill.ts';

const GROSS = 8_000_000_000;
describe('a bill of lading', () => {
  it('may say nothing, or everything', () => {
    expect(billOf(EMPTY_BILL, GROSS, 'l')).toEqual({ ok: true, value: { net: null, tempC: null, compartments: [] } });
    expect(billOf({ net: '7950', temperature: '68', compartments: '5000, 3000' }, GROSS, 'l')).toMatchObject({
      value: { net: 7_950_000_000, tempC: 68, compartments: [5_000_000_000, 3_000_000_000] },
    });
  });
  it('is in °F beside gallons', () => {
    const bill = billOf({ ...EMPTY_BILL, temperature: '68' }, GROSS, 'gal');
    expect(bill.ok && bill.value.tempC).toBeCloseTo(20, 9);
  });
  it.each([
    [{ net: '6000' }, 'net'],
    [{ net: 'x' }, 'net'],
    [{ temperature: '200' }, 'temperature'],
    [{ compartments: '5000, 2999' }, 'compartments'],
    [{ compartments: '5000, two' }, 'compartments'],
  ])('refuses %j and says which field', (part, field) => {
    expect(billOf({ ...EMPTY_BILL, ...part }, GROSS, 'l')).toMatchObject({ ok: false, error: { at: { field } } });
  });
  it('reads volumes with commas', () => {
    expect(volumesOf('', 'l')).toEqual([]);
    expect(volumesOf('1, 2.5', 'l')).toEqual([1_000_000, 2_500_000]);
    expect(volumesOf('1,,2', 'l')).toBeUndefined();
  });
});

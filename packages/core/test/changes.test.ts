import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { applyEdits, changesInWords, type Edit, editsBetween, type Fleet } from '../src/fleet/index.ts';
import { fleetArbitrary } from './fleet-arbitrary.ts';
import { gal, put, remove, set, yard } from './yard.ts';

fc.configureGlobal({ seed: 20_261_125 });

function after(before: Fleet, ...edits: Edit[]): Fleet {
  const made = applyEdits(before, edits);
  if (!made.ok) throw new Error(JSON.stringify(made.error));
  return made.value;
}
const words = (...edits: Edit[]) => changesInWords(yard(), after(yard(), ...edits)).map((c) => c.text);

describe('changes in words', () => {
  it('writes old and new values in the units of the fleet', () => {
    expect(words(set('allowances', 'day-crew', { perFill: gal(60), perDay: null }))).toEqual([
      'Per fill of allowance “Day crew diesel”: 40 gal → 60 gal',
      'Per day of allowance “Day crew diesel”: 80 gal → no limit',
    ]);
    expect(words(set('prices', 'diesel-2026', { price: 43_000 }))).toEqual([
      'Price of price “Diesel from 2026-01-01”: 4.25 USD → 4.30 USD',
    ]);
    expect(words(set('allowances', 'vans', { times: [{ days: [5, 6], from: 480, to: 720 }] }))).toEqual([
      'Times of allowance “Vans”: always → Sat-Sun 08:00-12:00',
    ]);
    expect(words(set('hoses', 'hose-1', { active: false }))).toEqual(['In service of hose 1 of North yard: yes → no']);
  });

  it('names who came and went, and counts beyond eight', () => {
    const drivers = ['Ash', 'Birch', 'Cedar'].map((name, i) => put('drivers', { id: `n-${i}`, name }));
    expect(words(...drivers)).toEqual(['3 drivers added: Ash, Birch, Cedar']);
    expect(words(remove('drivers', 'd-1'))).toEqual(['1 driver removed: Wren Aldous']);
    const many = Array.from({ length: 10 }, (_, i) => put('drivers', { id: `n-${i}`, name: `Driver ${i}` }));
    expect(words(...many)[0]).toMatch(/^10 drivers added: Driver 0, .*Driver 7 and 2 more$/);
  });

  it('says of lists what came and what went, by name', () => {
    expect(words(set('drivers', 'd-1', { allowances: ['day-crew', 'pool', 'vans'] }))).toEqual([
      'Allowances of driver “Wren Aldous”: added Vans',
    ]);
    expect(words(set('allowances', 'vans', { products: ['diesel'] }))).toEqual([
      'Products of allowance “Vans”: removed Petrol',
    ]);
    expect(words(set('drivers', 'd-1', { allowances: ['vans'] }))).toEqual([
      'Allowances of driver “Wren Aldous”: added Vans; removed Day crew diesel, Pool petrol',
    ]);
    expect(words(set('drivers', 'd-1', { sites: ['north'] }))).toEqual([
      'Sites of driver “Wren Aldous”: all → North yard',
    ]);
  });

  it('speaks of the settings first', () => {
    const fleet = after(
      yard(),
      { op: 'settings', fields: { units: 'metric', currency: 'EUR' } },
      remove('prices', 'petrol-2026'),
    );
    expect(changesInWords(yard(), fleet).map((c) => c.text)).toEqual([
      'Units: US gallons → litres',
      'Currency: USD → EUR',
      '1 price removed: Petrol from 2026-01-01',
    ]);
  });

  it('says something of every edit and nothing where there is none', () => {
    fc.assert(
      fc.property(fleetArbitrary(), fleetArbitrary(), (a, b) => {
        const changes = changesInWords(a, b);
        const told = new Set(changes.flatMap((c) => c.ids.map((id) => `${c.table}/${id}/${c.field ?? c.kind}`)));
        for (const e of editsBetween(a, b)) {
          if (e.op === 'put') expect(told.has(`${e.table}/${e.row.id}/added`)).toBe(true);
          if (e.op === 'remove') expect(told.has(`${e.table}/${e.id}/removed`)).toBe(true);
          if (e.op === 'set')
            for (const f of Object.keys(e.fields)) expect(told.has(`${e.table}/${e.id}/${f}`)).toBe(true);
        }
        expect(changesInWords(a, a)).toEqual([]);
      }),
      { numRuns: 60 },
    );
  });
});

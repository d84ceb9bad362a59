import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findings } from '../src/findings/index.ts';
import {
  applyEdits,
  type Copied,
  copyOf,
  type Edit,
  emptyFleet,
  type Fleet,
  freeId,
  freeName,
  freeNumber,
  ID_PATTERN,
  referencesOf,
  removeWith,
  rowsOf,
  TABLE_NAMES,
  type TableName,
  YARDS,
  type YardKind,
  yardTemplate,
} from '../src/fleet/index.ts';
import { fleetArbitrary } from './fleet-arbitrary.ts';
import { put, set, yard } from './yard.ts';

fc.configureGlobal({ seed: 20_261_125 });

function after(fleet: Fleet, edits: readonly Edit[]): Fleet {
  const made = applyEdits(fleet, edits);
  if (!made.ok) throw new Error(JSON.stringify(made.error));
  return made.value;
}

const dangling = (fleet: Fleet): Set<string> => {
  const out = new Set<string>();
  for (const table of TABLE_NAMES)
    for (const row of rowsOf(fleet, table).values())
      for (const ref of referencesOf(table, row))
        if (!rowsOf(fleet, ref.to).has(ref.id)) out.add(`${ref.to}/${ref.id}`);
  return out;
};
const grave = (fleet: Fleet) => findings(fleet).filter((f) => f.severity === 'error');
const COPIED: readonly Copied[] = ['pumps', 'islands', 'sites'];
const kinds = Object.keys(YARDS) as YardKind[];
const given = { siteId: 'east', name: 'East yard', zone: 'America/Denver' };

describe('a copy', () => {
  it('of a pump brings its hoses with the next free numbers and channels', () => {
    const fleet = after(yard(), copyOf('pumps', 'pump-diesel', yard()));
    expect(grave(fleet)).toEqual([]);
    expect(fleet.pumps.get('pump-diesel-2')).toMatchObject({ name: 'Pump 3', tanks: ['tank-diesel'] });
    expect(fleet.hoses.get('hose-3')).toMatchObject({
      number: 3,
      channel: 3,
      pump: 'pump-diesel-2',
      island: 'island-1',
    });
  });

  it('of an island brings terminals and hoses, joined to each other', () => {
    const fleet = after(yard(), copyOf('islands', 'island-1', yard()));
    expect(grave(fleet)).toEqual([]);
    const copies = [...fleet.hoses.values()].filter((h) => h.island === 'island-2');
    expect(copies.map((h) => [h.number, h.channel, h.terminals])).toEqual([
      [3, 3, ['terminal-2']],
      [4, 4, ['terminal-2']],
    ]);
    expect(fleet.terminals.get('terminal-2')).toMatchObject({ island: 'island-2', name: 'Terminal 2' });
  });

  it('of a site brings every part and leads to no part of the old one', () => {
    const fleet = after(yard(), copyOf('sites', 'north', yard()));
    expect(grave(fleet)).toEqual([]);
    expect(fleet.sites.get('north-2')).toMatchObject({ name: 'North yard 2', zone: 'America/Chicago' });
    for (const table of ['islands', 'tanks', 'pumps', 'terminals', 'hoses'] as const) {
      const rows: { site: string }[] = [...fleet[table].values()];
      const at = (site: string) => rows.filter((r) => r.site === site).length;
      expect(at('north-2'), table).toBe(at('north'));
    }
  });

  it('of a site names parts after the copy where they were named after it', () => {
    const edits = yardTemplate('one-diesel', given, yard());
    const fleet = after(yard(), edits);
    const copy = after(fleet, copyOf('sites', 'east', fleet));
    expect(copy.hoses.get('east-2-hose-1')).toMatchObject({ site: 'east-2', pump: 'east-2-pump-1', number: 1 });
  });

  it('brings no new dangling reference and changes nothing that stands, whatever the fleet', () => {
    fc.assert(
      fc.property(fleetArbitrary(), fc.constantFrom(...COPIED), fc.nat(), (fleet, table, n) => {
        const ids = [...rowsOf(fleet, table).keys()];
        const id = ids[n % Math.max(1, ids.length)] ?? 'nothing';
        const edits = copyOf(table, id, fleet);
        expect(edits.length > 0).toBe(ids.length > 0);
        for (const e of edits) {
          expect(e.op).toBe('put');
          if (e.op !== 'put') continue;
          expect(rowsOf(fleet, e.table).has(String(e.row.id))).toBe(false);
          expect(e.row.id).toMatch(ID_PATTERN);
        }
        const then = after(fleet, edits);
        const old = dangling(fleet);
        expect([...dangling(then)].filter((d) => !old.has(d))).toEqual([]);
        expect(copyOf(table, id, fleet)).toEqual(edits);
      }),
      { numRuns: 80 },
    );
  });
});

describe('a removal with what lies under it', () => {
  it('of a site leaves nothing of it', () => {
    const fleet = after(yard(), removeWith('sites', 'north', yard()));
    for (const table of ['sites', 'islands', 'tanks', 'pumps', 'terminals', 'hoses'] as const)
      expect(fleet[table].size, table).toBe(0);
    expect(dangling(fleet)).toEqual(new Set());
    expect(fleet.drivers.size).toBe(1);
  });

  it('never turns a list of sites into every site', () => {
    const start = yard(put('drivers', { id: 'd-2', name: 'Ash', sites: ['north'] }));
    expect(after(start, removeWith('sites', 'north', start)).drivers.get('d-2')?.sites).toEqual([]);
  });

  it('never turns a holder with an allowance into one without', () => {
    const of = yard(set('drivers', 'd-1', { allowances: ['day-crew'] }));
    const fleet = after(of, removeWith('allowances', 'day-crew', of));
    expect(fleet.drivers.get('d-1')?.allowances).toEqual(['day-crew']);
    expect(grave(fleet).map((f) => f.code)).toEqual(['F101']);
  });

  it('of a driver takes the cards along', () => {
    const fleet = after(yard(), removeWith('drivers', 'd-1', yard()));
    expect([...fleet.credentials.keys()]).toEqual(['c-2']);
  });

  it('leaves references to it only in fields that must be filled, whatever the fleet', () => {
    fc.assert(
      fc.property(fleetArbitrary(), fc.constantFrom<TableName>(...TABLE_NAMES), fc.nat(), (fleet, table, n) => {
        const ids = [...rowsOf(fleet, table).keys()];
        const id = ids[n % Math.max(1, ids.length)] ?? 'nothing';
        const then = after(fleet, removeWith(table, id, fleet));
        expect(rowsOf(then, table).has(id)).toBe(false);
        const old = dangling(fleet);
        const fresh = [...dangling(then)].filter((d) => !old.has(d));
        if (table === 'sites') expect(fresh.filter((d) => d.startsWith('sites/'))).toEqual([]);
        for (const t of TABLE_NAMES)
          for (const row of rowsOf(then, t).values())
            for (const ref of referencesOf(t, row))
              if (fresh.includes(`${ref.to}/${ref.id}`) && ref.to !== 'allowances')
                expect(typeof row[ref.field]).toBe('string');
      }),
      { numRuns: 80 },
    );
  });
});

describe('a usual yard', () => {
  it.each(kinds)('%s stands without errors or warnings about its plumbing', (kind) => {
    const empty = emptyFleet({ name: 'Larkmoor Haulage', units: 'us', currency: 'USD' });
    const found = findings(after(empty, yardTemplate(kind, given, empty)));
    expect(found.filter((f) => f.severity !== 'note').map((f) => f.code)).toEqual(['F227']);
  });

  it.each(kinds)('%s brings no new dangling reference and writes over nothing, whatever the fleet', (kind) => {
    fc.assert(
      fc.property(fleetArbitrary(), (fleet) => {
        const siteId = [...fleet.sites.keys()][0] ?? 'east';
        const edits = yardTemplate(kind, { ...given, siteId }, fleet);
        for (const e of edits) expect(e.op === 'put' && rowsOf(fleet, e.table).has(String(e.row.id))).toBe(false);
        const old = dangling(fleet);
        expect([...dangling(after(fleet, edits))].filter((d) => !old.has(d))).toEqual([]);
      }),
      { numRuns: 20 },
    );
  });

  it('uses the products that the fleet has', () => {
    const edits = yardTemplate('petrol-and-diesel', given, yard());
    expect(edits.filter((e) => e.op === 'put' && e.table === 'products')).toEqual([]);
    expect(grave(after(yard(), edits))).toEqual([]);
  });
});

describe('free ids, names and numbers', () => {
  it('count up from what is taken', () => {
    const taken =
      (...all: string[]) =>
      (x: string) =>
        all.includes(x);
    expect(freeId('pump', taken())).toBe('pump');
    expect(freeId('pump', taken('pump', 'pump-2'))).toBe('pump-3');
    const long = 'a'.repeat(60);
    expect(freeId(long, taken(long))).toMatch(ID_PATTERN);
    expect(freeName('Pump 1', taken('Pump 2'))).toBe('Pump 3');
    expect(freeName('Yard', taken())).toBe('Yard 2');
    expect(freeNumber(new Set([1, 2, 4]), 99)).toBe(3);
    expect(freeNumber(new Set([1, 2]), 2)).toBe(2);
  });
});

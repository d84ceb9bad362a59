import { parseDate } from '@fillwright/core/units';
import { type Meaning, meaningOfHeading, plainHeading } from './headings.ts';
import type { RosterMapping, Target } from './mapping.ts';

/** Guesses a roster's mapping from its headings, and from what stands below where the headings do not say. */

const share = (values: readonly string[], test: (v: string) => boolean): number =>
  values.length === 0 ? 0 : values.filter(test).length / values.length;

const isPlate = (v: string) => /^(?=.*[a-z])(?=.*\d)[a-z0-9][a-z0-9 -]{2,9}$/i.test(v);
const isVin = (v: string) => /^[a-hj-npr-z0-9]{17}$/i.test(v);
const isCardNumber = (v: string) => /^\d{6,20}$/.test(v.replace(/[\s-]/g, ''));
const isPersonName = (v: string) => /^[\p{L}'’.-]+,? [\p{L}'’. -]+$/u.test(v);
const isShortNumber = (v: string) => /^[a-z]?\d{1,5}$/i.test(v);

const MOSTLY = 0.8;

/** What the values look like; only forms that are hard to mistake. */
function meaningOfValues(values: readonly string[]): Meaning | undefined {
  const mostly = (test: (v: string) => boolean) => share(values, test) >= MOSTLY;
  const all = (to: Target, confidence: number, what: string): Meaning => ({
    to: [to],
    confidence,
    why: `The heading does not say, but the cells look like ${what}.`,
  });
  const different = new Set(values).size === values.length;
  if (values.length === 0 || mostly((v) => parseDate(v) !== undefined)) return undefined;
  if (mostly(isVin)) return all({ table: 'vehicles', field: 'vin' }, 0.8, 'vehicle identification numbers');
  if (mostly(isCardNumber) && different) return all({ table: 'credentials', field: 'number' }, 0.5, 'card numbers');
  if (mostly(isPersonName) && different) return all({ table: 'drivers', field: 'name' }, 0.5, 'names of people');
  if (mostly(isPlate) && different) return all({ table: 'vehicles', field: 'plate' }, 0.4, 'registration plates');
  return undefined;
}

/** 'Tag' is a plate to some and a fob to others; 'No' alone may be anyone's number: the cells decide. */
function meaningOfDoubtful(plain: string, values: readonly string[]): Meaning | undefined {
  if (/^tags?( no| number| id)?$/.test(plain)) {
    const plates = share(values, isPlate) >= 0.5;
    return plates
      ? { to: [{ table: 'vehicles', field: 'plate' }], confidence: 0.7, why: 'A tag whose cells look like plates.' }
      : {
          to: [{ table: 'credentials', field: 'number' }],
          confidence: 0.6,
          why: 'A tag whose cells are no plates: taken for a fob.',
        };
  }
  if (/^(no|nr|number|id)$/.test(plain) && share(values, isShortNumber) >= MOSTLY)
    return {
      to: [{ table: 'drivers', field: 'number' }],
      confidence: 0.4,
      why: 'Short numbers: taken for the person’s.',
    };
  return undefined;
}

const keyOf = (t: Target) => `${t.table}.${t.field}.${t.part ?? 0}`;

/**
 * The mapping for a sheet with these headings; `sampleRows` are some of its rows, cell by cell. Where two columns claim one field, the
 * surer keeps it, the first of equals; the other goes nowhere and says so.
 */
export function guessMapping(headings: readonly string[], sampleRows: readonly (readonly string[])[]): RosterMapping {
  const guesses = headings.map((heading, index): Meaning => {
    const values = sampleRows.map((row) => (row[index] ?? '').trim()).filter((v) => v !== '');
    const plain = plainHeading(heading);
    if (plain === '' && values.length === 0) return { to: [], confidence: 1, why: 'The column is empty.' };
    return (
      meaningOfHeading(heading) ??
      meaningOfDoubtful(plain, values) ??
      meaningOfValues(values) ?? { to: [], confidence: 0, why: 'Neither heading nor cells say what it is.' }
    );
  });
  const owner = new Map<string, number>();
  guesses.forEach((guess, index) => {
    for (const target of guess.to) {
      const holder = owner.get(keyOf(target));
      if (holder === undefined || (guesses[holder]?.confidence ?? 0) < guess.confidence)
        owner.set(keyOf(target), index);
    }
  });
  const columns = guesses.map((guess, index) => {
    const to = guess.to.filter((target) => owner.get(keyOf(target)) === index);
    const heading = (headings[index] ?? '').slice(0, 200);
    return to.length === 0 && guess.to.length > 0
      ? { heading, to, confidence: guess.confidence / 2, why: `${guess.why} Another column is surer of it.` }
      : { heading, to, confidence: guess.confidence, why: guess.why };
  });
  return { columns: onlyPresent(columns), cardOf: cardOf(columns) };
}

type MappedColumn = RosterMapping['columns'][number];

const speaksOf = (columns: readonly MappedColumn[], table: Target['table'], fields: readonly string[]): boolean =>
  columns.some((c) => c.to.some((t) => t.table === table && fields.includes(t.field)));

/** A department alone makes no vehicle: fields of a table that no column names are let go. */
function onlyPresent(columns: readonly MappedColumn[]): MappedColumn[] {
  const present = new Set<string>();
  if (speaksOf(columns, 'drivers', ['name', 'number'])) present.add('drivers');
  if (speaksOf(columns, 'vehicles', ['name', 'plate', 'vin'])) present.add('vehicles');
  if (speaksOf(columns, 'credentials', ['number'])) present.add('credentials');
  return columns.map((c) => {
    const to = c.to.filter((t) => present.has(t.table));
    return to.length === 0 && c.to.length > 0
      ? { ...c, to, why: 'It describes something that no other column names.' }
      : { ...c, to };
  });
}

function cardOf(columns: readonly MappedColumn[]): RosterMapping['cardOf'] {
  const people = speaksOf(columns, 'drivers', ['name', 'number']);
  const vehicles = speaksOf(columns, 'vehicles', ['name', 'plate', 'vin']);
  return people && vehicles ? 'both' : vehicles ? 'vehicle' : 'driver';
}

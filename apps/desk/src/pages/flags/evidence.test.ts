import { FLAG_KINDS } from '@fillwright/core/flags';
import { expect, it } from 'vitest';
import { evidenceOf } from './evidence.ts';

const us = { settings: { name: 'F', units: 'us', currency: 'USD' } } as const;

it('names what a flag rests on and turns volumes and times into the fleet’s own', () => {
  expect(evidenceOf({ volume: 37_854_118, capacity: 30_283_294 }, us)).toEqual([
    ['Volume', '10.0 gal'],
    ['The vehicle’s tank', '8.0 gal'],
  ]);
  expect(evidenceOf({ minuteOfDay: 190, nearest: 300, earlier: 25 }, us)[0]).toEqual([
    'Time of day at the site',
    '03:10',
  ]);
  expect(evidenceOf({ volume: 3_785_412, advance: 200, usual: 10, now: 15, spread: 1 }, us)).toEqual([
    ['Beside the usual', '150 %'],
    ['Usual spread', '10 %'],
    ['Volume', '1.0 gal'],
    ['Went on by', '200'],
  ]);
  expect(evidenceOf({ before: 900, now: 800 }, us)).toEqual([
    ['Reading before', '900'],
    ['Reading now', '800'],
  ]);
});

it('has a next step for every kind', () => {
  for (const kind of FLAG_KINDS) expect(kind.next).toMatch(/\w\.$/);
});

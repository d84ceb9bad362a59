import { expect, test } from 'vitest';
import { exemptText, rateText } from './rate.ts';

test('a rate in words', () => {
  const fleet = { settings: { name: 'A', units: 'us', currency: 'USD' } } as const;
  expect(rateText(fleet, { kind: 'volume', rate: 2_440 })).toBe('0.244 USD per gal');
  expect(rateText(fleet, { kind: 'percent', rate: 62_500 })).toBe('6.25 %');
  expect(rateText(fleet, { kind: 'volume', rate: 0 })).toBe('ended');
  expect(exemptText({ exempt: ['offRoad', 'exempt'] })).toBe('off the road, exempt body');
  expect(exemptText({ exempt: [] })).toBe('nobody');
});

import { describe, expect, it } from 'vitest';
import { isFiltered, wishOf } from './filter.ts';

describe('the filter of the ledger', () => {
  it('takes whole days of the zone, both included', () => {
    expect(wishOf({ from: '2026-03-08', to: '2026-03-08' }, 'America/Chicago')).toEqual({
      from: Date.UTC(2026, 2, 8, 6),
      // The clocks go forward on this day, so that it has 23 hours.
      to: Date.UTC(2026, 2, 9, 5) - 1,
    });
  });
  it('takes what is named and leaves out what is empty or no date', () => {
    expect(
      wishOf({ site: 'north', driver: '', text: ' 12 ', from: 'soon', to: '2026-02-30', show: 'x' }, 'UTC'),
    ).toEqual({
      site: 'north',
      text: '12',
    });
    expect(isFiltered({ fill: 'x' })).toBe(false);
    expect(isFiltered({ to: '2026-01-01' })).toBe(true);
  });
});

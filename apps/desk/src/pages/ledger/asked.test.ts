import { describe, expect, it } from 'vitest';
import { fleetWith } from '../../testing/fleet-with.ts';
import { askedOf } from './asked.ts';

const fleet = fleetWith({
  sites: [
    { id: 'north', name: 'North', zone: 'America/Chicago' },
    { id: 'south', name: 'South', zone: 'UTC' },
  ],
  hoses: [
    { id: 'n2', site: 'north', number: 2 },
    { id: 'n1', site: 'north', number: 1 },
    { id: 's1', site: 'south', number: 1 },
  ],
});
const NOW = Date.UTC(2026, 0, 5, 18, 30);
const of = (where: Record<string, string>) => askedOf(where, fleet, NOW);

describe('what the help desk asks', () => {
  it('is the first hose of the first site now, by the clock there, where the address is silent', () => {
    // Chicago is six hours behind UTC in winter (IANA time zone database).
    expect(of({ site: 'gone', hose: 's1', pin: 'odd' })).toEqual({
      site: 'north',
      hose: 'n1',
      date: '2026-01-05',
      time: '12:30',
      at: NOW,
      card: undefined,
      driver: undefined,
      vehicle: undefined,
      pin: 'right',
      cutOff: false,
      ready: false,
    });
  });

  it('goes by the card where there is one, and else by who is named', () => {
    const named = { driver: 'ada', vehicle: 'unit-9' };
    expect(of(named)).toMatchObject({ ...named, ready: true });
    expect(of({ ...named, card: '70100' })).toMatchObject({ card: '70100', driver: undefined, vehicle: undefined });
    expect(of({ site: 'south', card: '70100', pin: 'locked', cutOff: 'yes' })).toMatchObject({
      hose: 's1',
      pin: 'locked',
      cutOff: true,
      ready: true,
    });
  });

  it('takes the first of two instants that a clock shows twice, and cannot be decided at one that it never shows', () => {
    // In Chicago the clocks went from 02:00 to 03:00 on 8 March 2026 and go from 02:00 to 01:00 on 1 November 2026 (15 USC 260a).
    const card = '70100';
    expect(of({ card, date: '2026-03-08', time: '02:30' })).toMatchObject({ at: undefined, ready: false });
    expect(of({ card, date: '2026-11-01', time: '01:30' }).at).toBe(Date.UTC(2026, 10, 1, 6, 30));
  });

  it('cannot be decided at a site without hoses', () => {
    expect(askedOf({ card: '70100' }, fleetWith({}), NOW)).toMatchObject({ site: '', hose: '', ready: false });
  });
});

import type { SiteStatus } from '@fillwright/wire';
import { describe, expect, it } from 'vitest';
import { byNeed, linkSaid, revisionSaid, troublesOf } from './site-words.ts';

const calm: SiteStatus = {
  site: 'north',
  name: 'North',
  joined: true,
  wanted: 7,
  wantedSince: 1,
  delivered: 7,
  deliveredSince: 2,
  running: 7,
  runningSince: 3,
  refused: null,
  link: 'here',
  linkSince: 1,
  heardAt: 4,
  stale: false,
  cutOff: false,
  unsent: 0,
  gap: false,
  forked: false,
  frozen: false,
  hoses: [{ hose: 'h1', state: 'idle', reason: null }],
  tanks: [{ tank: 't1', volume: 500, levelMm: null, waterMm: null, tempC: null }],
};
const NO_LOW = new Map<string, number>();

describe('a site in words', () => {
  it('stays grey while all is as it should be', () => {
    expect(revisionSaid(calm)).toEqual({ words: 'Runs revision 7' });
    expect(linkSaid(calm)).toEqual({ words: 'Linked' });
    expect(troublesOf(calm, NO_LOW)).toEqual([]);
  });
  it('never says running of what was only delivered or wanted', () => {
    expect(revisionSaid({ ...calm, wanted: 8, delivered: 8 })).toEqual({
      is: 'warning',
      words: 'Runs revision 7; 8 delivered, not running yet',
    });
    expect(revisionSaid({ ...calm, wanted: 8 }).words).toBe('Runs revision 7; 8 not delivered yet');
    expect(revisionSaid({ ...calm, running: null, delivered: null }).words).toBe(
      'Runs nothing yet; 7 not delivered yet',
    );
  });
  it('names a refused bundle as an error, and a box that never joined as a note', () => {
    const refused = { revision: 8, code: 'FW-307', cause: 'x' };
    expect(revisionSaid({ ...calm, wanted: 8, refused })).toMatchObject({ is: 'error' });
    expect(revisionSaid({ ...calm, joined: false })).toMatchObject({ is: 'note' });
  });
  it('tells gaps, blocked hoses, low tanks, stale and cut off apart', () => {
    const bad = {
      ...calm,
      gap: true,
      stale: true,
      cutOff: true,
      unsent: 1,
      hoses: [{ hose: 'h1', state: 'blocked', reason: 'strayPulses' }],
    };
    expect(troublesOf(bad, new Map([['t1', 501]])).map((s) => s.words)).toEqual([
      'Entries are missing',
      '1 hose blocked',
      '1 tank low',
      'Stale',
      'Cut off',
      '1 entry not yet sent',
    ]);
    expect(troublesOf(calm, new Map([['t1', 500]]))).toEqual([]);
  });
  it('puts what needs a person first', () => {
    const list = [
      calm,
      { ...calm, site: 'a', name: 'Able', link: 'gone' as const },
      { ...calm, site: 'z', name: 'Zed', gap: true },
    ];
    expect(byNeed(list, NO_LOW).map((s) => s.name)).toEqual(['Zed', 'Able', 'North']);
  });
});

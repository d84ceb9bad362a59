import { emptyFleet, type Fleet, newRow } from '@fillwright/core/fleet';
import type { SiteStatus, WorksheetHead } from '@fillwright/wire';
import { describe, expect, it } from 'vitest';
import { firstSteps, type Standing } from './steps.ts';

const empty = emptyFleet({ name: 'F', units: 'us', currency: 'USD' });
const standing = (more: Partial<Standing> = {}): Standing => ({
  ...{ fleet: empty, errors: 0, releases: 0, sites: [], worksheets: [] },
  ...more,
});
const one = (table: 'sites' | 'hoses' | 'drivers' | 'credentials' | 'allowances') =>
  new Map([['x', newRow(table, { id: 'x' } as never)]]);

describe('the way to the first fill', () => {
  it('has nothing done in an empty office, not even that nothing stands against it', () => {
    expect(firstSteps(standing()).filter((s) => s.done)).toEqual([]);
  });
  it('is done step by step, whichever comes first', () => {
    const done = (more: Partial<Standing>) =>
      firstSteps(standing(more))
        .filter((s) => s.done)
        .map((s) => s.to);
    const people = { ...empty, drivers: one('drivers'), credentials: one('credentials') } as Fleet;
    expect(done({ fleet: people })).toEqual(['/import']);
    const whole = { ...people, sites: one('sites'), hoses: one('hoses'), allowances: one('allowances') } as Fleet;
    expect(done({ fleet: whole, errors: 2 })).toEqual(['/sheet', '/import', '/policy']);
    const sites = [{ joined: true } as SiteStatus, { joined: false } as SiteStatus];
    expect(done({ fleet: whole, releases: 1, sites })).toEqual([
      '/sheet',
      '/import',
      '/policy',
      '/findings',
      '/release',
    ]);
    const worksheets = [{ signedAt: 1 } as WorksheetHead];
    expect(done({ fleet: whole, releases: 1, sites: sites.slice(0, 1), worksheets })).toHaveLength(7);
  });
  it('says how much there is', () => {
    const fleet = { ...empty, drivers: one('drivers') } as Fleet;
    expect(firstSteps(standing({ fleet }))[1]).toMatchObject({
      done: false,
      words: '1 driver, 0 vehicles, 0 credentials.',
    });
  });
});

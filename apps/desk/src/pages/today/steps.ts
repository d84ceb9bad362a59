import type { Fleet } from '@fillwright/core/fleet';
import type { SiteStatus, WorksheetHead } from '@fillwright/wire';
import { plural } from '../../show/amounts.ts';

/** One thing on the way from an empty office to a yard that serves. */
export interface FirstStep {
  readonly label: string;
  /** What there is of it, or what to do. */
  readonly words: string;
  readonly done: boolean;
  readonly to: '/sheet' | '/import' | '/policy' | '/findings' | '/release' | '/worksheet';
}

export interface Standing {
  readonly fleet: Fleet;
  /** Errors of the draft. */
  readonly errors: number;
  readonly releases: number;
  readonly sites: readonly SiteStatus[];
  readonly worksheets: readonly WorksheetHead[];
}

/** What is there and what is wanting before the first fill; none of it has to wait for what stands above it. */
export function firstSteps({ fleet, errors, releases, sites, worksheets }: Standing): FirstStep[] {
  const hoses = fleet.hoses.size;
  const people = fleet.drivers.size + fleet.vehicles.size;
  const joined = sites.filter((s) => s.joined).length;
  const signed = worksheets.filter((w) => w.signedAt !== null).length;
  return [
    {
      label: 'The yard',
      words:
        hoses === 0
          ? 'Draw it on its sheet, or bring it in with the intake workbook.'
          : `${plural(fleet.sites.size, 'site')} with ${plural(hoses, 'hose')}.`,
      done: hoses > 0,
      to: '/sheet',
    },
    {
      label: 'Drivers, vehicles and their credentials',
      words:
        people === 0
          ? 'Drop the spreadsheet that there is: any columns in any order.'
          : `${plural(fleet.drivers.size, 'driver')}, ${plural(fleet.vehicles.size, 'vehicle')}, ${plural(fleet.credentials.size, 'credential')}.`,
      done: people > 0 && fleet.credentials.size > 0,
      to: '/import',
    },
    {
      label: 'Who may draw what',
      words:
        fleet.allowances.size === 0
          ? 'Allowances say which products, how much, when and where.'
          : `${plural(fleet.allowances.size, 'allowance')}.`,
      done: fleet.allowances.size > 0,
      to: '/policy',
    },
    {
      label: 'Nothing that stands against it',
      words: errors === 0 ? 'No finding is an error.' : `${plural(errors, 'error')} to mend before a release.`,
      done: errors === 0 && hoses > 0 && people > 0,
      to: '/findings',
    },
    {
      label: 'The first release',
      words: releases === 0 ? 'See who gains, then send it to every site.' : `${plural(releases, 'release')} so far.`,
      done: releases > 0,
      to: '/release',
    },
    {
      label: 'A box in each yard',
      words:
        sites.length === 0
          ? 'Make a one-time code on the sheet of the site, once it is released.'
          : `${joined} of ${plural(sites.length, 'site')} joined; the one-time code is made on the sheet.`,
      done: sites.length > 0 && joined === sites.length,
      to: '/sheet',
    },
    {
      label: 'Commissioned and signed',
      words:
        signed === 0
          ? 'Try at the island what the worksheet says, on a tablet.'
          : `${plural(signed, 'worksheet')} signed.`,
      done: signed > 0,
      to: '/worksheet',
    },
  ];
}

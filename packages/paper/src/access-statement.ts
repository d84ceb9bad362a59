import { nameOf } from '@fillwright/core/decide';
import { type Allowance, type Fleet, unitOf, volumeWords } from '@fillwright/core/fleet';
import {
  type AccessStatement,
  type Days,
  datesWords,
  type Group,
  ruleWords,
  type SiteAccess,
  timesWords,
} from '@fillwright/core/reach';
import { formatDate, parseDate } from '@fillwright/core/units';
import type { Cell, Paper, Part } from './paper.ts';

/** What the statement was made of, in words: 'the draft, version 12', 'release 4', 'release 4, which North yard runs'. */
export interface Of {
  readonly words: string;
  readonly draft: boolean;
}

/** An access statement on paper: who may draw what, where, when and how much, in plain words. `asOf` is milliseconds UTC. */
export function accessPaper(
  fleet: Fleet,
  statement: AccessStatement,
  of: Of,
  asOf: { at: number; words: string },
): Paper {
  const horizon = `${formatDate(statement.horizon[0] as number)} to ${formatDate(statement.horizon.at(-1) as number)}`;
  return {
    title: 'Who may draw fuel',
    subtitle: aboutWords(fleet, statement),
    fleet: fleet.settings.name,
    asOf: asOf.at,
    asOfText: asOf.words,
    size: fleet.settings.units === 'us' ? 'letter' : 'a4',
    ...(of.draft ? { mark: 'Draft: no site runs this yet' } : {}),
    parts: [
      {
        kind: 'facts',
        rows: [
          ['Made from', of.words],
          ['Speaks of', horizon],
        ],
      },
      {
        kind: 'paragraph',
        text: 'This is the most that may be drawn: with PIN and answers right, nothing drawn before, and the site hearing the office. What was drawn the same day, week or month comes off (see Allowances), and a vehicle never gets more than its own tank holds. Whoever is not named here draws nothing. Times are by the clock on the site’s wall.',
      },
      ...statement.sites.flatMap((site) => siteParts(fleet, statement, site)),
      ...withoutPart(fleet, statement),
      ...allowanceParts(fleet, statement),
      ...datesPart(fleet, statement),
      { kind: 'signatures', roles: ['For the fleet'], above: 'Read, and it is as we want it.' },
    ],
  };
}

function aboutWords(fleet: Fleet, { about }: AccessStatement): string {
  if (about.kind === 'department') return about.name;
  return nameOf(fleet, `${about.kind}s`, about.id);
}

const IDENTIFY = {
  driver: 'a driver’s credential',
  vehicle: 'a vehicle’s credential',
  either: 'a driver’s or a vehicle’s credential',
  both: 'a driver’s and a vehicle’s credential',
} as const;

function siteParts(fleet: Fleet, statement: AccessStatement, at: SiteAccess): Part[] {
  const site = fleet.sites.get(at.site);
  if (!site) return [];
  const questions = site.questions.map((q) => nameOf(fleet, 'questions', q));
  const closed = site.closed.filter((d) => within(statement.horizon, d));
  return [
    { kind: 'heading', level: 1, text: `At ${site.name}` },
    {
      kind: 'facts',
      rows: [
        ['Presented', IDENTIFY[site.identify] + (site.pin ? ', and the driver’s PIN' : '')],
        ...(questions.length > 0 ? [['Asked of everybody', questions.join(', ')] as [string, string]] : []),
        ['Closed on', closed.length === 0 ? 'no day' : closed.join(', ')],
      ],
    },
    {
      kind: 'table',
      columns: [
        { title: 'Who', width: 'wide' },
        { title: 'With', width: 'wide' },
        { title: 'What', width: 90 },
        { title: 'Up to, a fill', align: 'right', width: 62 },
        { title: 'When', width: 'wide' },
        { title: 'Because of', width: 'wide' },
      ],
      rows: at.rows.map((r): Cell[] => [
        r.pair
          ? nameOf(fleet, 'drivers', r.pair[0])
          : r.drivers
            ? groupWords(fleet, 'drivers', r.drivers)
            : groupWords(fleet, 'vehicles', r.vehicles),
        r.pair
          ? `${nameOf(fleet, 'vehicles', r.pair[1])} (one credential names both)`
          : r.drivers === null || r.vehicles === null
            ? 'alone'
            : groupWords(fleet, 'vehicles', r.vehicles),
        `${nameOf(fleet, 'products', r.product)}, ${hosesWords(fleet, r.hoses)}`,
        limitWords(fleet, r.room),
        timesWords(r.times) + limitedTo(statement.horizon, site.closed, r.days),
        ruleWords(fleet, r.reason),
      ]),
      none: 'Nobody may draw anything here.',
    },
    ...groupsPart(fleet, 'Drivers', 'drivers', at.drivers),
    ...groupsPart(fleet, 'Vehicles', 'vehicles', at.vehicles),
    ...neverPart(fleet, statement, at),
  ];
}

const limitWords = (fleet: Fleet, microlitres: number): string => volumeWords(microlitres, unitOf(fleet.settings));

const SHOWN = 3;

/** 'D1: Ana Voss, Ben Ode' or 'D1: Ana Voss, Ben Ode and 12 more'. */
function groupWords(fleet: Fleet, table: 'drivers' | 'vehicles', group: Group | null): string {
  if (group === null) return '';
  const names = group.ids.map((id) => nameOf(fleet, table, id));
  if (names.length <= SHOWN) return `${group.label}: ${names.join(', ')}`;
  return `${group.label}: ${names.slice(0, 2).join(', ')} and ${names.length - 2} more`;
}

function groupsPart(fleet: Fleet, title: string, table: 'drivers' | 'vehicles', groups: readonly Group[]): Part[] {
  const long = groups.filter((g) => g.ids.length > SHOWN);
  if (long.length === 0) return [];
  return [
    {
      kind: 'table',
      caption: `${title}, by group`,
      columns: [{ title: 'Group', width: 40 }, { title: 'How many', align: 'right', width: 50 }, { title: 'Names' }],
      // A row never breaks across pages, so a long list of names is several rows.
      rows: long.flatMap((g) =>
        chunks(g.ids.map((id) => nameOf(fleet, table, id))).map((names, n): Cell[] => [
          n === 0 ? g.label : '',
          n === 0 ? String(g.ids.length) : '',
          names.join(', '),
        ]),
      ),
    },
  ];
}

const chunks = <T>(list: readonly T[]): T[][] =>
  Array.from({ length: Math.ceil(list.length / MOST_NAMES) }, (_, n) =>
    list.slice(n * MOST_NAMES, (n + 1) * MOST_NAMES),
  );

const hosesWords = (fleet: Fleet, ids: readonly string[]): string => {
  const numbers = ids.map((id) => fleet.hoses.get(id)?.number ?? id);
  return `${numbers.length === 1 ? 'hose' : 'hoses'} ${numbers.join(', ')}`;
};

const within = (horizon: Days, date: string): boolean => {
  const day = parseDate(date);
  return day !== undefined && day >= (horizon[0] as number) && day <= (horizon.at(-1) as number);
};

/** Said where a row does not hold for the whole time that the statement speaks of; closed days are said once, above. */
function limitedTo(horizon: Days, closed: readonly string[], days: Days): string {
  const gaps = new Set(closed.map((d) => parseDate(d)));
  const runs: number[] = [];
  for (let i = 0; i < days.length; i += 2) {
    const [from, until] = [days[i] as number, days[i + 1] as number];
    const before = runs.at(-1);
    let next = before === undefined ? from : before + 1;
    while (next < from && gaps.has(next)) next++;
    if (before !== undefined && next === from) runs[runs.length - 1] = until;
    else runs.push(from, until);
  }
  const [first, last] = [horizon[0] as number, horizon.at(-1) as number];
  const open = (day: number, to: number) => {
    for (let d = day; d < to; d++) if (!gaps.has(d)) return true;
    return false;
  };
  if (runs.length === 2 && !open(first, runs[0] as number) && !open((runs[1] as number) + 1, last + 1)) return '';
  return `; on ${datesWords(runs)} only`;
}

const WHY = {
  'not active': 'Not active in the roster',
  'no credential': 'No credential that is good in this time',
  'not their site': 'Not one of their sites',
  question: 'Asked a question that no answer satisfies',
  'no allowance here': 'No allowance that lets them draw here',
  'never together': 'Must be presented with another, and nobody fits',
} as const;

/** Names in one row of a table; of those who draw nothing, more are only counted. */
const MOST_NAMES = 60;

function neverPart(fleet: Fleet, { about }: AccessStatement, at: SiteAccess): Part[] {
  if (at.never.length === 0) return [];
  return [
    {
      kind: 'table',
      caption: about.kind === 'site' ? 'Of the roster, who draws nothing here' : 'Who of them draws nothing here',
      columns: [{ title: 'Why', width: 130 }, { title: 'How many', align: 'right', width: 50 }, { title: 'Names' }],
      rows: at.never.map((n) => {
        const names = [
          ...n.drivers.map((id) => nameOf(fleet, 'drivers', id)),
          ...n.vehicles.map((id) => nameOf(fleet, 'vehicles', id)),
        ];
        const more = names.length - MOST_NAMES;
        const list = names.slice(0, MOST_NAMES).join(', ');
        return [WHY[n.why], String(names.length), more > 0 ? `${list} and ${more} more` : list];
      }),
    },
  ];
}

function withoutPart(fleet: Fleet, { sites, without }: AccessStatement): Part[] {
  if (without.length === 0) return [];
  const names = without.map((id) => nameOf(fleet, 'sites', id)).join(', ');
  return [
    { kind: 'heading', level: 1, text: sites.length === 0 ? 'Nothing may be drawn' : 'At no other site' },
    { kind: 'paragraph', text: `Nothing may be drawn at ${names}.` },
  ];
}

const CUT_OFF = {
  goOn: () => 'goes on with what the site knows: what was drawn elsewhere meanwhile is not counted',
  share: (a: Allowance) => `${a.share} % of what is left for day, week and month`,
  decline: () => 'declined',
} as const;

function allowanceParts(fleet: Fleet, statement: AccessStatement): Part[] {
  const ids = new Set<string>();
  for (const site of statement.sites) {
    for (const r of site.rows) {
      for (const id of r.drivers?.ids ?? (r.pair ? [r.pair[0]] : []))
        for (const a of fleet.drivers.get(id)?.allowances ?? []) ids.add(a);
      for (const id of r.vehicles?.ids ?? (r.pair ? [r.pair[1]] : []))
        for (const a of fleet.vehicles.get(id)?.allowances ?? []) ids.add(a);
    }
  }
  const rows = [...ids].flatMap((id) => fleet.allowances.get(id) ?? []);
  if (rows.length === 0) return [];
  const volume = (v: number | null) => (v === null ? 'no limit' : limitWords(fleet, v));
  return [
    { kind: 'heading', level: 1, text: 'Allowances' },
    {
      kind: 'paragraph',
      text: 'What counts over time, and what holds while a site has not heard the office (cut off). What a fill takes is the least that any of its limits leaves. A site that is cut off, or whose data are past their date, goes on with the rules that it has; it never allows more than they say.',
    },
    {
      kind: 'table',
      columns: [
        { title: 'Allowance' },
        { title: 'A fill', align: 'right', width: 52 },
        { title: 'A day', align: 'right', width: 52 },
        { title: 'A week', align: 'right', width: 52 },
        { title: 'A month', align: 'right', width: 52 },
        { title: 'Fills a day', align: 'right', width: 44 },
        { title: 'When cut off' },
      ],
      rows: rows.map((a) => {
        const counts = a.perDay !== null || a.perWeek !== null || a.perMonth !== null || a.fillsPerDay !== null;
        return [
          a.name,
          volume(a.perFill),
          volume(a.perDay),
          volume(a.perWeek),
          volume(a.perMonth),
          a.fillsPerDay === null ? 'no limit' : String(a.fillsPerDay),
          counts ? CUT_OFF[a.cutOff](a) : 'as ever: it counts nothing',
        ];
      }),
    },
  ];
}

/** Last days that fall into the time it speaks of: of credentials, drivers and vehicles that it names. */
function datesPart(fleet: Fleet, statement: AccessStatement): Part[] {
  const named = { driver: new Set<string>(), vehicle: new Set<string>() };
  for (const site of statement.sites) {
    for (const r of site.rows) {
      for (const id of r.drivers?.ids ?? (r.pair ? [r.pair[0]] : [])) named.driver.add(id);
      for (const id of r.vehicles?.ids ?? (r.pair ? [r.pair[1]] : [])) named.vehicle.add(id);
    }
  }
  const rows: [string, string][] = [];
  const note = (date: string | null, words: string) => {
    if (date !== null && within(statement.horizon, date)) rows.push([date, words]);
  };
  for (const kind of ['driver', 'vehicle'] as const) {
    for (const id of named[kind]) {
      const row = kind === 'driver' ? fleet.drivers.get(id) : fleet.vehicles.get(id);
      note(row?.validFrom ?? null, `${row?.name}: first day`);
      note(row?.validUntil ?? null, `${row?.name}: last day`);
    }
  }
  for (const c of fleet.credentials.values()) {
    if (c.stopped || !((c.driver && named.driver.has(c.driver)) || (c.vehicle && named.vehicle.has(c.vehicle))))
      continue;
    const of = [c.driver && nameOf(fleet, 'drivers', c.driver), c.vehicle && nameOf(fleet, 'vehicles', c.vehicle)];
    const words = `${nameOf(fleet, 'credentials', c.id)} of ${of.filter(Boolean).join(' with ')}`;
    note(c.validFrom, `${words}: first day`);
    note(c.validUntil, `${words}: last day`);
  }
  rows.sort((a, b) => (a[0] < b[0] ? -1 : a[0] > b[0] ? 1 : 0));
  return [
    {
      kind: 'table',
      caption: 'Dates on which something begins or ends',
      columns: [{ title: 'Date', width: 70 }, { title: 'What' }],
      rows,
      none: 'Nothing that this names begins or ends in this time.',
    },
  ];
}

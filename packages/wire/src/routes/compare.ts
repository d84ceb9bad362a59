import { z } from 'zod';
import type { Route } from './route.ts';

const whose = "'draft', the number of a release, or 'running:SITE' for what a site runs";
const page = {
  offset: z.coerce.number().int().min(0).default(0),
  limit: z.coerce.number().int().min(1).max(500).default(100),
};
const named = z.strictObject({ count: z.int(), names: z.array(z.string()) });
const days = z.tuple([z.string(), z.string()]);

const change = z.strictObject({
  kind: z.enum(['gained', 'lost', 'raised', 'lowered']),
  product: z.string(),
  drivers: named,
  vehicles: named,
  sites: named,
  hoses: z.int(),
  /** Least and most microlitres; 0 is nothing. */
  before: z.tuple([z.int(), z.int()]),
  after: z.tuple([z.int(), z.int()]),
  whyBefore: z.string(),
  whyAfter: z.string(),
  /** A whole number; it may be larger than a JSON number holds. */
  points: z.string(),
  witness: z.strictObject({
    driver: z.string().nullable(),
    vehicle: z.string().nullable(),
    hose: z.string(),
    date: z.string(),
    time: z.string(),
    before: z.int(),
    after: z.int(),
  }),
  /** The whole group as one sentence. */
  text: z.string(),
});
export type ChangeReply = z.infer<typeof change>;

/** Minutes of the week [from, to) in each of which so many points change, over all days and hoses looked at. */
const changedStretch = z.strictObject({
  from: z.int(),
  to: z.int(),
  gained: z.number(),
  lost: z.number(),
  raised: z.number(),
  lowered: z.number(),
});
const points = z.strictObject({ gained: z.string(), lost: z.string(), raised: z.string(), lowered: z.string() });
const difference = z.strictObject({
  days,
  points,
  looked: z.string(),
  /** Groups by kind, all of them; the 60 largest of each are listed. */
  counts: z.strictObject({ gained: z.int(), lost: z.int(), raised: z.int(), lowered: z.int() }),
  groups: z.array(change),
  /** By product, the whole week; null where it was not asked for. */
  weeks: z.array(z.strictObject({ product: z.string(), stretches: z.array(changedStretch) })).nullable(),
  /** Of those asked about: for whom nothing changes; null where the week was not asked for. */
  unchanged: z.strictObject({ drivers: named, vehicles: named }).nullable(),
});
export type DifferenceReply = z.infer<typeof difference>;

const expectation = z.strictObject({
  id: z.string(),
  sentence: z.string(),
  wish: z.string(),
  verdict: z.enum(['holds', 'idle', 'unread', 'broken']),
  /** The verdict in a line. */
  text: z.string(),
  counterexample: z
    .strictObject({
      driver: z.string().nullable(),
      vehicle: z.string().nullable(),
      site: z.string(),
      hose: z.string(),
      date: z.string(),
      time: z.string(),
      /** Milliseconds UTC. */
      at: z.int(),
      credentials: z.array(z.string()),
      /** Microlitres that it is approved for; 0 is refused. */
      limit: z.int(),
      rule: z.string(),
      mend: z.strictObject({ table: z.string(), id: z.string() }).nullable(),
    })
    .nullable(),
});
export type ExpectationReply = z.infer<typeof expectation>;

const reachRow = z.strictObject({
  site: z.string(),
  hoses: z.array(z.string()),
  product: z.string(),
  kind: z.enum(['driver', 'vehicle']),
  who: named,
  /** Whether they may draw here with nobody and nothing else; otherwise only with somebody whose own limit is no lower. */
  alone: z.boolean(),
  days: z.array(days),
  /** Minutes of the week, Monday 00:00 first, with microlitres in one fill and the rule that decides. */
  stretches: z.array(z.strictObject({ from: z.int(), to: z.int(), room: z.int(), by: z.string() })),
});
export type ReachRow = z.infer<typeof reachRow>;

const stretches = z
  .array(z.strictObject({ from: z.int(), to: z.int(), room: z.int(), by: z.string() }))
  .describe('minutes of the week, Monday 00:00 first, with microlitres in one fill and the rule that decides');
const week = z.strictObject({
  hoses: z.array(z.string()),
  product: z.string(),
  /** Days on which whoever is meant may draw, less the site's closed days. */
  days: z.array(days),
  stretches,
  /** Why it is nothing at any time. */
  nothing: z.string().nullable(),
});
const reachWeek = z.strictObject({
  days,
  /** Why whoever was named cannot present themselves. */
  why: z.string().nullable(),
  /** Numbers that present them. */
  cards: z.array(z.string()),
  /** By hoses that no rule can tell apart; of every site: by product, the most that any of them gives. */
  weeks: z.array(week),
  /** Of every site: what each gives. */
  sites: z.array(week.extend({ site: z.string() })),
});
export type ReachWeekReply = z.infer<typeof reachWeek>;

/** What of a comparison is looked at. */
const within = {
  driver: z.string().optional().describe('alone or with any vehicle; with a vehicle named, the two together'),
  vehicle: z.string().optional(),
  department: z.string().optional().describe('whoever is of it, alone or with anybody'),
  product: z.string().optional(),
  week: z.stringbool().default(false).describe('also when it shows over the week, and for whom nothing changes'),
};

export const compare = {
  reachWeek: {
    method: 'GET',
    path: '/api/reach/week',
    may: 'viewer',
    summary:
      'What a driver, a vehicle, either with anybody, both together, anybody of a department or anybody at all may draw over the week, at one site or every one',
    query: z.object({
      which: z.string().default('draft').describe(whose),
      site: z.string().optional().describe('every one where it is left out'),
      driver: z.string().optional(),
      vehicle: z.string().optional(),
      department: z.string().optional(),
      withAnybody: z
        .stringbool()
        .default(false)
        .describe('a driver or a vehicle alone or with anybody, instead of alone'),
      hose: z.string().optional().describe('this hose only'),
      product: z.string().optional().describe('this product only'),
    }),
    reply: reachWeek.extend({ which: z.string() }),
  },
  siteDifference: {
    method: 'GET',
    path: '/api/difference/sites',
    may: 'viewer',
    summary:
      'Who can draw what at one site and not at another: a product of either is one place, each by its own clock; ‘gained’ is at the second',
    query: z.object({
      which: z.string().default('draft').describe(whose),
      first: z.string(),
      second: z.string(),
      ...within,
      kind: z.enum(['gained', 'lost', 'raised', 'lowered']).optional(),
      ...page,
    }),
    reply: difference.extend({ which: z.string(), first: z.string(), second: z.string(), total: z.int() }),
  },
  reach: {
    method: 'GET',
    path: '/api/reach',
    may: 'viewer',
    summary: 'Who can draw what, where and when, at most, by classes that no rule can tell apart',
    query: z.object({
      which: z.string().default('draft').describe(whose),
      site: z.string().optional(),
      driver: z.string().optional(),
      vehicle: z.string().optional(),
      ...page,
    }),
    reply: z.strictObject({ which: z.string(), days, total: z.int(), rows: z.array(reachRow) }),
  },
  difference: {
    method: 'GET',
    path: '/api/difference',
    may: 'viewer',
    summary: 'What changes in anybody’s reach between two fleets, largest first',
    query: z.object({
      before: z.string().describe(whose),
      after: z.string().default('draft').describe(whose),
      kind: z.enum(['gained', 'lost', 'raised', 'lowered']).optional(),
      site: z.string().optional(),
      ...within,
      ...page,
    }),
    reply: difference.extend({ before: z.string(), after: z.string(), total: z.int() }),
  },
  expectations: {
    method: 'GET',
    path: '/api/expectations',
    may: 'viewer',
    summary: 'The verdict on each expectation, over the 90 days that a bundle holds',
    query: z.object({ which: z.string().default('draft').describe(whose) }),
    reply: z.strictObject({ which: z.string(), expectations: z.array(expectation) }),
  },
  releaseStands: {
    method: 'GET',
    path: '/api/releases/stands',
    may: 'viewer',
    summary: 'What of a release of the draft wants a person’s word: access that is gained, and broken expectations',
    reply: z.strictObject({
      version: z.int(),
      base: z.int().nullable(),
      gained: z.strictObject({ points: z.string(), groups: z.int(), lines: z.array(z.string()) }),
      broken: z.array(expectation),
    }),
  },
} as const satisfies Record<string, Route>;

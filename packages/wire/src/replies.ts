import { z } from 'zod';
import { hoseState, tankState } from './messages.ts';

/** What the API answers. Volumes in microlitres, money in 1/10,000 of the currency's unit, moments in milliseconds UTC. */

export const role = z.enum(['owner', 'editor', 'technician', 'viewer']);
export const office = z.strictObject({ hasOwner: z.boolean(), version: z.string() });
export const me = z.strictObject({
  id: z.string(),
  name: z.string(),
  email: z.string(),
  role,
  fleet: z.string(),
  fleetName: z.string(),
});
export const account = z.strictObject({
  id: z.string(),
  name: z.string(),
  email: z.string(),
  role,
  open: z.boolean(),
  lastSeen: z.int().nullable(),
});

export const problemReply = z.strictObject({
  code: z.string(),
  cause: z.string(),
  mend: z.string(),
  at: z
    .strictObject({
      in: z.string().optional(),
      row: z.union([z.string(), z.number()]).optional(),
      field: z.string().optional(),
    })
    .optional(),
  found: z.string().optional(),
  expected: z.string().optional(),
});
/** Every refusal of the API: the first problem says what the person should read, `all` the rest; `request` is in the log. */
export const refused = z.strictObject({ error: problemReply, all: z.array(problemReply), request: z.string() });

const edits = z.array(z.unknown());
/** One change of the draft; `edits` lead from version - 1 to version. */
export const change = z.strictObject({
  version: z.int(),
  at: z.int(),
  by: z.string(),
  kind: z.enum(['edit', 'undo', 'redo', 'import', 'start']),
  note: z.string(),
  edits,
});
/** A change as the history lists it: an import of a whole roster would be megabytes. */
export const pastChange = z.strictObject({
  ...change.omit({ edits: true }).shape,
  /** The first few. */
  first: edits,
  count: z.int(),
});
export const draft = z.strictObject({
  version: z.int(),
  /** The release that the draft began from; null before the first. */
  base: z.int().nullable(),
  canUndo: z.boolean(),
  canRedo: z.boolean(),
  fleet: z.unknown(),
});
export const draftChanged = z.strictObject({ version: z.int(), canUndo: z.boolean(), canRedo: z.boolean(), edits });
export const fleetReply = z.strictObject({ which: z.string(), fleet: z.unknown() });

export const staged = z.strictObject({
  id: z.string(),
  name: z.string(),
  kind: z.enum(['book', 'roster']),
  problems: z.array(problemReply),
  counts: z.record(z.string(), z.strictObject({ new: z.int(), changed: z.int(), same: z.int() })),
  /** The first edits, for a look. */
  edits,
  editCount: z.int(),
  mapping: z.unknown().nullable(),
  columns: z.array(z.strictObject({ sheet: z.string(), header: z.string(), samples: z.array(z.string()) })),
});

export const finding = z.strictObject({
  id: z.string(),
  code: z.string(),
  severity: z.enum(['error', 'warning', 'note']),
  title: z.string(),
  text: z.string(),
  mend: z.string(),
});
export const release = z.strictObject({
  number: z.int(),
  /** The draft's version that it froze. */
  version: z.int(),
  at: z.int(),
  by: z.string(),
  note: z.string(),
  digest: z.string(),
  changes: z.array(z.string()),
  words: z.record(z.string(), z.string()),
  /** What it changed in reach, and which expectations it broke; null for releases made before this was kept. */
  access: z.strictObject({ gained: z.array(z.string()), broken: z.array(z.string()), points: z.string() }).nullable(),
});
/** How a release goes out. `stopped`: by a rule or a person, for good; `ended`: every wave is out, or a later release took over. */
export const rollout = z.strictObject({
  release: z.int(),
  state: z.enum(['going', 'paused', 'stopped', 'ended']),
  minutes: z.int(),
  wave: z.int(),
  waveSince: z.int(),
  why: z.string().nullable(),
  by: z.string().nullable(),
  sites: z.array(z.strictObject({ site: z.string(), wave: z.int(), ranSince: z.int().nullable() })),
});
export const preview = z.strictObject({
  version: z.int(),
  base: z.int().nullable(),
  changes: z.array(z.string()),
  findings: z.array(finding),
  same: z.boolean(),
});

export const siteStatus = z.strictObject({
  site: z.string(),
  name: z.string(),
  joined: z.boolean(),
  wanted: z.int().nullable(),
  wantedSince: z.int().nullable(),
  delivered: z.int().nullable(),
  deliveredSince: z.int().nullable(),
  running: z.int().nullable(),
  runningSince: z.int().nullable(),
  refused: z.strictObject({ revision: z.int(), code: z.string(), cause: z.string() }).nullable(),
  link: z.enum(['here', 'gone', 'never']),
  linkSince: z.int().nullable(),
  heardAt: z.int().nullable(),
  stale: z.boolean(),
  cutOff: z.boolean(),
  /** Linked, but without a fresh word of what is wanted. */
  frozen: z.boolean(),
  unsent: z.int(),
  gap: z.boolean(),
  /** Entries of two journals under one name: the box was copied or its disk set back. */
  forked: z.boolean(),
  hoses: z.array(hoseState),
  tanks: z.array(tankState),
});
export const joined = z.strictObject({
  fleet: z.string(),
  site: z.string(),
  name: z.string(),
  officeKey: z.string(),
  /** How often the office's key had been given on by then. */
  officeKeyVersion: z.int().min(0).default(0),
  mqttUrl: z.string(),
  user: z.string(),
  password: z.string(),
});
export const stop = z.strictObject({
  id: z.string(),
  credential: z.string(),
  at: z.int(),
  by: z.string(),
  reason: z.string(),
  sites: z.array(z.strictObject({ site: z.string(), name: z.string(), gotAt: z.int().nullable() })),
});

export const fillFilter = z.object({
  site: z.string().optional(),
  driver: z.string().optional(),
  vehicle: z.string().optional(),
  product: z.string().optional(),
  costCentre: z.string().optional(),
  from: z.coerce.number().int().optional(),
  to: z.coerce.number().int().optional(),
  text: z.string().max(100).optional(),
  before: z.string().optional(),
  limit: z.coerce.number().int().min(1).max(1000).default(100),
});
export const fill = z.strictObject({
  id: z.string(),
  site: z.string(),
  hose: z.string(),
  hoseNumber: z.int(),
  product: z.string(),
  driver: z.string().nullable(),
  driverName: z.string(),
  vehicle: z.string().nullable(),
  vehicleName: z.string(),
  costCentre: z.string().nullable(),
  revision: z.int(),
  startedAt: z.int(),
  endedAt: z.int().nullable(),
  pulses: z.int(),
  volume: z.int(),
  limit: z.int(),
  overrun: z.int(),
  price: z.int().nullable(),
  amount: z.int().nullable(),
  /** open: authorised and not ended yet; ended; interrupted: power was lost, the last durable count stands. */
  state: z.enum(['open', 'ended', 'interrupted']),
  stopReason: z.string().nullable(),
  /** The proving run that it was drawn for: no sale. */
  proving: z.string().nullable(),
});
/** `amount` without fills that are no sale; `volume` with them. */
export const totals = z.strictObject({ fills: z.int(), volume: z.int(), amount: z.int() });
export const fillPage = z.strictObject({ fills: z.array(fill), totals, next: z.string().nullable() });
export const fillDetail = z.strictObject({
  fill,
  decision: z.unknown(),
  answers: z.record(z.string(), z.string()),
  curve: z.array(z.tuple([z.number(), z.number()])).describe('seconds since the hose was armed, microlitres so far'),
  entries: z.array(z.strictObject({ seq: z.int(), at: z.int(), kind: z.string(), hash: z.string(), text: z.string() })),
});
export const refusal = z.strictObject({
  id: z.string(),
  site: z.string(),
  at: z.int(),
  terminal: z.string(),
  hose: z.string().nullable(),
  by: z.string(),
  words: z.string(),
  driver: z.string().nullable(),
  vehicle: z.string().nullable(),
  revision: z.int(),
  decision: z.unknown(),
});
export const setAside = z.strictObject({
  site: z.string(),
  epoch: z.string(),
  seq: z.int(),
  at: z.int(),
  why: z.string(),
  text: z.string(),
});

export const journalGap = z.strictObject({
  site: z.string(),
  epoch: z.string(),
  from: z.int(),
  to: z.int(),
  noticedAt: z.int(),
  word: z.string().nullable(),
  by: z.string().nullable(),
  at: z.int().nullable(),
});

export const tankBook = z.strictObject({
  tank: z.string(),
  site: z.string(),
  name: z.string(),
  product: z.string(),
  capacity: z.int(),
  book: z.int(),
  bookAt: z.int().nullable(),
  measured: z.int().nullable(),
  measuredAt: z.int().nullable(),
});
export const tankMove = z.strictObject({
  id: z.string(),
  tank: z.string(),
  at: z.int(),
  /** proving: test fuel put back after a proving run, no sale. */
  kind: z.enum(['fill', 'delivery', 'dip', 'correction', 'proving']),
  volume: z.int(),
  book: z.int(),
  by: z.string(),
  note: z.string(),
  fill: z.string().nullable(),
});

export type Me = z.infer<typeof me>;
export type Account = z.infer<typeof account>;
export type Change = z.infer<typeof change>;
export type PastChange = z.infer<typeof pastChange>;
export type Draft = z.infer<typeof draft>;
export type DraftChanged = z.infer<typeof draftChanged>;
export type Staged = z.infer<typeof staged>;
export type Release = z.infer<typeof release>;
export type Rollout = z.infer<typeof rollout>;
export type Preview = z.infer<typeof preview>;
export type FindingReply = z.infer<typeof finding>;
export type SiteStatus = z.infer<typeof siteStatus>;
export type Joined = z.infer<typeof joined>;
export type Stop = z.infer<typeof stop>;
export type Fill = z.infer<typeof fill>;
export type FillPage = z.infer<typeof fillPage>;
export type FillDetail = z.infer<typeof fillDetail>;
export type FillFilter = z.infer<typeof fillFilter>;
export type Refusal = z.infer<typeof refusal>;
export type TankBook = z.infer<typeof tankBook>;
export type TankMove = z.infer<typeof tankMove>;
export type Refused = z.infer<typeof refused>;

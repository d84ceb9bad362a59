import { editSchema } from '@fillwright/core/fleet';
import { z } from 'zod';
import * as s from './replies.ts';

/** Every route of the hub's API: one table gives validation, types, the OpenAPI document and the desk's client. */

export type Role = 'owner' | 'editor' | 'technician' | 'viewer';

interface Route {
  readonly method: 'GET' | 'POST' | 'DELETE' | 'PATCH';
  readonly path: string;
  /** Who may call it: 'anyone' needs no sign-in; a role means that role or one that may more (viewer < technician < editor < owner). */
  readonly may: Role | 'anyone';
  readonly summary: string;
  readonly params?: z.ZodObject;
  readonly query?: z.ZodObject;
  readonly body?: z.ZodType;
  readonly reply: z.ZodType;
  /** Replies that are not JSON. */
  readonly file?: string;
}

const none = z.strictObject({});
const which = z.object({ which: z.string().default('draft').describe("'draft', or the number of a release") });
const siteParams = z.object({ site: z.string() });

export const ROUTES = {
  office: {
    method: 'GET',
    path: '/api/office',
    may: 'anyone',
    summary: 'Whether this office has an owner yet',
    reply: s.office,
  },
  firstOwner: {
    method: 'POST',
    path: '/api/office/owner',
    may: 'anyone',
    summary: 'Make the first owner and the fleet',
    body: z.strictObject({
      fleetName: z.string().min(1).max(200),
      units: z.enum(['us', 'metric']),
      currency: z.string().regex(/^[A-Z]{3}$/),
      name: z.string().min(1).max(200),
      email: z.email(),
      password: z.string().max(500),
    }),
    reply: s.me,
  },
  signIn: {
    method: 'POST',
    path: '/api/session',
    may: 'anyone',
    summary: 'Sign in',
    body: z.strictObject({ email: z.string().max(300), password: z.string().max(500) }),
    reply: s.me,
  },
  signOut: { method: 'DELETE', path: '/api/session', may: 'viewer', summary: 'Sign out', reply: none },
  me: { method: 'GET', path: '/api/session', may: 'viewer', summary: 'Who is signed in', reply: s.me },

  accounts: {
    method: 'GET',
    path: '/api/accounts',
    may: 'owner',
    summary: 'The people who may sign in',
    reply: z.array(s.account),
  },
  addAccount: {
    method: 'POST',
    path: '/api/accounts',
    may: 'owner',
    summary: 'Let somebody sign in',
    body: z.strictObject({
      name: z.string().min(1).max(200),
      email: z.email(),
      role: s.role,
      password: z.string().max(500),
    }),
    reply: s.account,
  },
  changeAccount: {
    method: 'PATCH',
    path: '/api/accounts/:id',
    may: 'owner',
    summary: 'Change a role, a password, or close an account',
    params: z.object({ id: z.string() }),
    body: z.strictObject({
      role: s.role.optional(),
      open: z.boolean().optional(),
      password: z.string().max(500).optional(),
    }),
    reply: s.account,
  },

  draft: { method: 'GET', path: '/api/draft', may: 'viewer', summary: 'The draft as it stands', reply: s.draft },
  editDraft: {
    method: 'POST',
    path: '/api/draft/edits',
    may: 'editor',
    summary: 'Change the draft',
    body: z.strictObject({
      version: z.int().min(0),
      edits: z.array(editSchema).min(1).max(200_000),
      note: z.string().max(500).optional(),
    }),
    reply: s.draftChanged,
  },
  undo: {
    method: 'POST',
    path: '/api/draft/undo',
    may: 'editor',
    summary: 'Take the last change back',
    body: z.strictObject({ version: z.int() }),
    reply: s.draftChanged,
  },
  redo: {
    method: 'POST',
    path: '/api/draft/redo',
    may: 'editor',
    summary: 'Make the change again that was taken back',
    body: z.strictObject({ version: z.int() }),
    reply: s.draftChanged,
  },
  draftSince: {
    method: 'GET',
    path: '/api/draft/since',
    may: 'viewer',
    summary: 'The changes after a version',
    query: z.object({ version: z.coerce.number().int() }),
    reply: z.array(s.change),
  },
  history: {
    method: 'GET',
    path: '/api/draft/history',
    may: 'viewer',
    summary: 'Who changed what, newest first',
    query: z.object({
      before: z.coerce.number().int().optional(),
      limit: z.coerce.number().int().min(1).max(500).default(100),
    }),
    reply: z.array(s.change),
  },
  fleet: {
    method: 'GET',
    path: '/api/fleet',
    may: 'viewer',
    summary: 'The fleet of the draft or of a release, as JSON',
    query: which,
    reply: s.fleetReply,
  },

  stageImport: {
    method: 'POST',
    path: '/api/imports',
    may: 'editor',
    summary: 'Read a file without changing anything; the body is the file',
    query: z.object({ name: z.string().max(300) }),
    reply: s.staged,
  },
  mapImport: {
    method: 'POST',
    path: '/api/imports/:id/mapping',
    may: 'editor',
    summary: 'Read it again with a corrected mapping',
    params: z.object({ id: z.string() }),
    body: z.strictObject({ mapping: z.unknown() }),
    reply: s.staged,
  },
  applyImport: {
    method: 'POST',
    path: '/api/imports/:id/apply',
    may: 'editor',
    summary: 'Take the good rows into the draft, as one change',
    params: z.object({ id: z.string() }),
    body: z.strictObject({ version: z.int() }),
    reply: s.draftChanged,
  },
  exportBook: {
    method: 'GET',
    path: '/api/export.xlsx',
    may: 'viewer',
    summary: 'The fleet as a workbook',
    query: which,
    reply: z.unknown(),
    file: 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
  },
  template: {
    method: 'GET',
    path: '/api/template.xlsx',
    may: 'viewer',
    summary: 'An empty intake workbook',
    reply: z.unknown(),
    file: 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
  },

  releases: {
    method: 'GET',
    path: '/api/releases',
    may: 'viewer',
    summary: 'Every release, newest first',
    reply: z.array(s.release),
  },
  release: {
    method: 'POST',
    path: '/api/releases',
    may: 'editor',
    summary: 'Freeze the draft, number it, and send it to every site',
    body: z.strictObject({
      version: z.int(),
      note: z.string().max(2000),
      words: z.record(z.string(), z.string().max(500)).describe('a word for each warning, by finding id'),
    }),
    reply: s.release,
  },
  releasePreview: {
    method: 'GET',
    path: '/api/releases/preview',
    may: 'viewer',
    summary: 'What a release of the draft would change, and what stands against it',
    reply: s.preview,
  },

  sites: {
    method: 'GET',
    path: '/api/sites',
    may: 'viewer',
    summary: 'Each site: wanted, delivered and running revision, link, hoses and tanks',
    reply: z.array(s.siteStatus),
  },
  joinCode: {
    method: 'POST',
    path: '/api/sites/:site/join-code',
    may: 'technician',
    summary: 'A one-time code with which a box joins',
    params: siteParams,
    reply: z.strictObject({ code: z.string(), until: z.int() }),
  },
  join: {
    method: 'POST',
    path: '/api/join',
    may: 'anyone',
    summary: 'A box joins with its one-time code and its own keys',
    body: z.strictObject({
      code: z.string().max(60),
      signKey: z.string().max(200),
      sealKey: z.string().max(200),
      box: z.string().max(100),
    }),
    reply: s.joined,
  },

  stopCredential: {
    method: 'POST',
    path: '/api/credentials/:id/stop',
    may: 'editor',
    summary: 'Stop a credential at every site now',
    params: z.object({ id: z.string() }),
    body: z.strictObject({ reason: z.string().max(500) }),
    reply: s.stop,
  },
  stops: {
    method: 'GET',
    path: '/api/stops',
    may: 'viewer',
    summary: 'Urgent stops, and which sites have them',
    reply: z.array(s.stop),
  },
  setPin: {
    method: 'POST',
    path: '/api/drivers/:id/pin',
    may: 'editor',
    summary: 'Set a driver’s PIN, or take it away with null',
    params: z.object({ id: z.string() }),
    body: z.strictObject({ pin: z.string().max(20).nullable() }),
    reply: none,
  },
  pinsSet: {
    method: 'GET',
    path: '/api/pins',
    may: 'viewer',
    summary: 'Which drivers have a PIN, never the PIN',
    reply: z.array(z.string()),
  },

  fills: {
    method: 'GET',
    path: '/api/fills',
    may: 'viewer',
    summary: 'The ledger, newest first, with totals of everything that matches',
    query: s.fillFilter,
    reply: s.fillPage,
  },
  fill: {
    method: 'GET',
    path: '/api/fills/:id',
    may: 'viewer',
    summary: 'One fill with its decision, flow curve and journal entries',
    params: z.object({ id: z.string() }),
    reply: s.fillDetail,
  },
  fillsCsv: {
    method: 'GET',
    path: '/api/fills.csv',
    may: 'viewer',
    summary: 'The ledger as CSV',
    query: s.fillFilter,
    reply: z.unknown(),
    file: 'text/csv',
  },
  fillsBook: {
    method: 'GET',
    path: '/api/fills.xlsx',
    may: 'viewer',
    summary: 'The ledger as a workbook',
    query: s.fillFilter,
    reply: z.unknown(),
    file: 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
  },
  refusals: {
    method: 'GET',
    path: '/api/refusals',
    may: 'viewer',
    summary: 'Refused sessions, newest first',
    query: z.object({ site: z.string().optional(), limit: z.coerce.number().int().min(1).max(500).default(100) }),
    reply: z.array(s.refusal),
  },
  setAside: {
    method: 'GET',
    path: '/api/set-aside',
    may: 'viewer',
    summary: 'Journal entries that were kept but not understood',
    reply: z.array(s.setAside),
  },

  tankBooks: {
    method: 'GET',
    path: '/api/tanks',
    may: 'viewer',
    summary: 'Each tank: book, last level, since when',
    reply: z.array(s.tankBook),
  },
  tankMoves: {
    method: 'GET',
    path: '/api/tanks/:tank/moves',
    may: 'viewer',
    summary: 'The book of one tank, newest first',
    params: z.object({ tank: z.string() }),
    query: z.object({ limit: z.coerce.number().int().min(1).max(2000).default(200) }),
    reply: z.array(s.tankMove),
  },
  addTankMove: {
    method: 'POST',
    path: '/api/tanks/:tank/moves',
    may: 'technician',
    summary: 'Write a delivery, a dip or a correction into the book',
    params: z.object({ tank: z.string() }),
    body: z.strictObject({
      kind: z.enum(['delivery', 'dip', 'correction']),
      volume: z.int().min(-1_000_000_000_000).max(1_000_000_000_000),
      at: z.int(),
      note: z.string().max(500),
    }),
    reply: s.tankMove,
  },

  running: {
    method: 'GET',
    path: '/api/sites/:site/running',
    may: 'viewer',
    summary: 'The fleet as one site runs it',
    params: siteParams,
    reply: s.fleetReply,
  },
} as const satisfies Record<string, Route>;

export type Routes = typeof ROUTES;
export type RouteName = keyof Routes;
export type { Route };

import { compile } from '@fillwright/core/decide';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { type Fact, recognise, type Worksheet, worksheetOf } from '@fillwright/core/worksheet';
import { MOST_PHOTOS, PHOTO_BYTES, type WorksheetHead, type WorksheetReply } from '@fillwright/wire';
import { zoneOrUtc } from '../ledger/zones.ts';
import type { Released } from '../release/released.ts';
import type { Tx } from '../store/database.ts';

const HEAD = `id, site, release, made_at as "madeAt", made_by as "madeBy", signed_at as "signedAt", signer`;
const missing = (id: string): Problem => problem('FW-204', { at: { in: 'worksheets', row: id } });

export const worksheetHeads = (tx: Tx, fleet: string, site: string | undefined): Promise<WorksheetHead[]> =>
  tx.rows<WorksheetHead>(
    `select ${HEAD} from worksheet where fleet = $1 and ($2::text is null or site = $2) order by made_at desc, id limit 200`,
    [fleet, site ?? null],
  );

/** Makes a site's worksheet from the newest release. `at`: the moment for which its presentations hold. */
export async function makeWorksheet(
  tx: Tx,
  released: Released,
  fleet: string,
  made: { readonly id: string; readonly site: string; readonly at: number; readonly now: number; readonly by: string },
): Promise<Result<WorksheetReply, Problem>> {
  const release = await released.newest(tx, fleet);
  const content = release === undefined ? undefined : await released.fleet(tx, fleet, release);
  if (release === undefined || !content) return err(problem('FW-308'));
  if (!content.sites.has(made.site)) return err(problem('FW-204', { at: { in: 'sites', row: made.site } }));
  const sheet = worksheetOf(
    compile(content, (name) => zoneOrUtc(name)),
    made.site,
    release,
    made.at,
  );
  await tx.rows(
    'insert into worksheet (fleet, id, site, release, made_at, made_by, sheet) values ($1, $2, $3, $4, $5, $6, $7)',
    [fleet, made.id, made.site, release, made.now, made.by, JSON.stringify(sheet)],
  );
  return wholeWorksheet(tx, fleet, made.id);
}

interface Row extends WorksheetHead {
  readonly sheet: Worksheet;
  readonly signature: string | null;
}

const rowOf = (tx: Tx, fleet: string, id: string, lock = false): Promise<Row | undefined> =>
  tx.row<Row>(
    `select ${HEAD}, sheet, signature from worksheet where fleet = $1 and id = $2${lock ? ' for update' : ''}`,
    [fleet, id],
  );

/** A worksheet with what stands for each step: the newest of what persons said and what the journal proves. */
export async function wholeWorksheet(tx: Tx, fleet: string, id: string): Promise<Result<WorksheetReply, Problem>> {
  const row = await rowOf(tx, fleet, id);
  if (!row) return err(missing(id));
  const until = row.signedAt ?? Number.MAX_SAFE_INTEGER;
  const entries = await tx.rows<{ epoch: string; seq: number; text: string }>(
    `select epoch, seq, text from entry where fleet = $1 and site = $2 and at >= $3 and at <= $4 and aside is null
       and kind in ('authorised', 'ended', 'refused', 'started', 'revision', 'resumed', 'reading')
     order by at, epoch, seq limit 50000`,
    [fleet, row.site, row.madeAt, until],
  );
  const facts = entries.map((e) => ({ ...(JSON.parse(e.text) as Fact), ref: `${row.site}.${e.epoch}.${e.seq}` }));
  const proofs = await tx.rows<{ ref: string; hose: string; at: number; verdict: 'passes' | 'fails' | 'incomplete' }>(
    `select id as ref, hose, at, judged->>'verdict' as verdict from proving
     where fleet = $1 and site = $2 and at >= $3 and at <= $4 order by at, id`,
    [fleet, row.site, row.madeAt, until],
  );
  const said = await tx.rows<WorksheetReply['results'][number]>(
    `select distinct on (step) step, verdict, at, by, note, null as ref from worksheet_result
     where fleet = $1 and worksheet = $2 order by step, at desc, id desc`,
    [fleet, id],
  );
  const standing = new Map(said.filter((s) => s.verdict !== 'open').map((s) => [s.step, s]));
  for (const r of recognise(row.sheet, facts, proofs, row.madeAt)) {
    const person = standing.get(r.step);
    // A person's word about something older than the journal's newest gives way to it.
    if (!person || person.at < r.at) standing.set(r.step, { ...r, by: 'journal' });
  }
  const photos = await tx.rows<WorksheetReply['photos'][number]>(
    'select id, step, at, by from worksheet_photo where fleet = $1 and worksheet = $2 order by at, id',
    [fleet, id],
  );
  // JSON keeps the lists of a sheet as they are; the reply's are its own.
  const sheet = row.sheet as unknown as WorksheetReply['sheet'];
  const order = new Map(sheet.steps.map((s, i) => [s.id, i]));
  const results = [...standing.values()].sort((a, b) => (order.get(a.step) ?? 0) - (order.get(b.step) ?? 0));
  return ok({ ...row, sheet, results, photos });
}

/** Locks the sheet for writing: not there, and signed, are refused. */
async function openSheet(tx: Tx, fleet: string, id: string): Promise<Result<Row, Problem>> {
  const row = await rowOf(tx, fleet, id, true);
  if (!row) return err(missing(id));
  return row.signedAt === null ? ok(row) : err(problem('FW-757', { at: { in: 'worksheets', row: id } }));
}

export interface NewResult {
  readonly id: string;
  readonly step: string;
  readonly verdict: 'good' | 'bad' | 'stands' | 'open';
  readonly at: number;
  readonly note: string;
}

export async function addResults(
  tx: Tx,
  fleet: string,
  id: string,
  by: string,
  results: readonly NewResult[],
): Promise<Result<WorksheetReply, Problem>> {
  const known = await tx.rows<{ id: string }>(
    'select id from worksheet_result where fleet = $1 and worksheet = $2 and id = any($3)',
    [fleet, id, results.map((r) => r.id)],
  );
  // All of it was sent before, and only the answer was lost: then a signature since does not matter.
  if (known.length === results.length) return wholeWorksheet(tx, fleet, id);
  const open = await openSheet(tx, fleet, id);
  if (!open.ok) return open;
  const steps = new Set(open.value.sheet.steps.map((s) => s.id));
  for (const r of results) {
    if (!steps.has(r.step)) return err(problem('FW-204', { at: { in: 'steps', row: r.step } }));
    if (r.verdict === 'stands' && r.note.trim() === '')
      return err(problem('FW-201', { at: { field: 'note', row: r.step }, expected: 'why it may stand' }));
    await tx.rows(
      `insert into worksheet_result (fleet, worksheet, id, step, at, by, verdict, note)
       values ($1, $2, $3, $4, $5, $6, $7, $8) on conflict do nothing`,
      [fleet, id, r.id, r.step, r.at, by, r.verdict, r.note],
    );
  }
  return wholeWorksheet(tx, fleet, id);
}

/** By its first bytes: what a name or a header says counts for nothing. */
function typeOf(bytes: Uint8Array): string | undefined {
  const begins = (...b: number[]) => b.every((v, i) => bytes[i] === v);
  if (begins(0xff, 0xd8, 0xff)) return 'image/jpeg';
  return begins(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a) ? 'image/png' : undefined;
}

export async function addPhoto(
  tx: Tx,
  fleet: string,
  id: string,
  by: string,
  photo: { readonly id: string; readonly step: string; readonly at: number; readonly bytes: Uint8Array },
): Promise<Result<{ id: string }, Problem>> {
  const had = await tx.row('select 1 as one from worksheet_photo where fleet = $1 and worksheet = $2 and id = $3', [
    fleet,
    id,
    photo.id,
  ]);
  if (had) return ok({ id: photo.id });
  const open = await openSheet(tx, fleet, id);
  if (!open.ok) return open;
  if (!open.value.sheet.steps.some((s) => s.id === photo.step))
    return err(problem('FW-204', { at: { in: 'steps', row: photo.step } }));
  const type = typeOf(photo.bytes);
  if (type === undefined || photo.bytes.length > PHOTO_BYTES)
    return err(problem('FW-759', { found: `${photo.bytes.length} bytes`, expected: `at most ${PHOTO_BYTES} bytes` }));
  const count = await tx.row<{ n: number }>(
    'select count(*)::int as n from worksheet_photo where fleet = $1 and worksheet = $2',
    [fleet, id],
  );
  if ((count?.n ?? 0) >= MOST_PHOTOS) return err(problem('FW-759', { expected: `at most ${MOST_PHOTOS} photos` }));
  await tx.rows(
    'insert into worksheet_photo (fleet, worksheet, id, step, at, by, type, bytes) values ($1, $2, $3, $4, $5, $6, $7, $8)',
    [fleet, id, photo.id, photo.step, photo.at, by, type, Buffer.from(photo.bytes)],
  );
  return ok({ id: photo.id });
}

export async function photoOf(tx: Tx, fleet: string, id: string, photo: string): Promise<Result<Uint8Array, Problem>> {
  const row = await tx.row<{ bytes: Buffer }>(
    'select bytes from worksheet_photo where fleet = $1 and worksheet = $2 and id = $3',
    [fleet, id, photo],
  );
  return row ? ok(row.bytes) : err(problem('FW-204', { at: { in: 'photos', row: photo } }));
}

/** Signed once every step stands: good, or with a word why it may stand otherwise. */
export async function signWorksheet(
  tx: Tx,
  fleet: string,
  id: string,
  sign: { readonly at: number; readonly by: string; readonly signer: string; readonly signature: string },
): Promise<Result<WorksheetReply, Problem>> {
  const row = await openSheet(tx, fleet, id);
  if (!row.ok) return row;
  const now = await wholeWorksheet(tx, fleet, id);
  if (!now.ok) return now;
  const done = new Set(now.value.results.filter((r) => r.verdict !== 'bad').map((r) => r.step));
  const open = row.value.sheet.steps.filter((s) => !done.has(s.id));
  if (open.length > 0)
    return err(
      problem('FW-758', {
        found: `${open.length}: ${open
          .slice(0, 5)
          .map((s) => s.id)
          .join(', ')}`,
      }),
    );
  await tx.rows(
    'update worksheet set signed_at = $3, signed_by = $4, signer = $5, signature = $6 where fleet = $1 and id = $2',
    [fleet, id, sign.at, sign.by, sign.signer, sign.signature],
  );
  return wholeWorksheet(tx, fleet, id);
}

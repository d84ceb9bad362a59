import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { toWorkbook } from '@fillwright/intake';
import { call } from '@fillwright/wire';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { cardOf, HOSES, smallFleet, YARD } from './stage/fleet.ts';
import { must, Office, OWNER } from './stage/office.ts';
import { openStage } from './stage/stage.ts';

const stage = openStage();
afterAll(() => stage.end());

const files = stage.folder('files');
const path = (name: string) => join(files, name);
let office: Office;
let other: Office;

beforeAll(async () => {
  mkdirSync(files, { recursive: true });
  [office, other] = await Promise.all([Office.open(stage), Office.open(stage)]);
  await office.makeOwner(smallFleet());
  await other.makeOwner(smallFleet());
  writeFileSync(path('book.xlsx'), await toWorkbook(smallFleet()));
  writeFileSync(
    path('roster.csv'),
    'Emp No,Employee,Card,Dept\r\n0412,Orla Vane,600649000001,Roads\r\n0413,Pim Harrow,600649000002,Parks\r\n',
  );
}, 300_000);

/** Runs a command against the first office. */
const run = (...args: string[]) =>
  stage.run([...args, '--office', office.url], { FILLWRIGHT_PASSWORD: OWNER.password });
const json = async <T>(...args: string[]): Promise<T> => {
  const ran = await run(...args, '--json');
  expect(ran.code, ran.all).toBe(0);
  return JSON.parse(ran.stdout) as T;
};

describe('the command line works an office from sign-in to ledger', () => {
  it('says in its exit code what went wrong', async () => {
    expect((await run('findings')).code).toBe(4);
    expect((await run('findings', '--no-such-option')).code).toBe(2);
    const nobody = await stage.run(['sites', '--office', 'http://127.0.0.1:9']);
    expect(nobody.code, nobody.all).toBe(5);
    expect(nobody.all).toContain('FW-905');
    const wrong = await stage.run(['sign-in', OWNER.email, '--office', office.url], {
      FILLWRIGHT_PASSWORD: 'not this one',
    });
    expect(wrong.code, wrong.all).toBe(4);
  });

  it('signs in', async () => {
    const me = await json<{ role: string }>('sign-in', OWNER.email);
    expect(me.role).toBe('owner');
  });

  it('imports a workbook as one change', async () => {
    const look = await json<{ editCount: number; version: number | null }>('import', path('book.xlsx'), '--look');
    expect(look.version).toBeNull();
    expect(look.editCount).toBeGreaterThan(20);
    const done = await json<{ version: number }>('import', path('book.xlsx'));
    expect(done.version).toBeGreaterThan(0);
  });

  it('imports a roster of people and cards', async () => {
    const done = await json<{ kind: string; counts: Record<string, { new: number }> }>('import', path('roster.csv'));
    expect(done.kind).toBe('roster');
    expect(done.counts.drivers?.new).toBe(2);
    expect(done.counts.credentials?.new).toBe(2);
  });

  it('has findings in its exit code: 0 without errors, 3 with one', async () => {
    const fine = await run('findings');
    expect(fine.code, fine.all).toBe(0);
    const pump = { pump: 'no-such-pump' };
    const version = await office.edit({ op: 'set', table: 'hoses', id: HOSES[0], fields: pump });
    expect((await run('findings')).code).toBe(3);
    must(await call(office.caller, 'undo', { body: { version } }));
    expect((await run('findings')).code).toBe(0);
  });

  it('tries a fill on the bench: 0 approved, 3 declined', async () => {
    const at = ['--site', YARD, '--hose', HOSES[0]];
    const approved = await json<{ approved: boolean; limit: number }>('bench', ...at, '--card', cardOf(0));
    expect(approved.approved).toBe(true);
    expect(approved.limit).toBe(25 * 3_785_412);
    const declined = await run('bench', ...at, '--card', '1');
    expect(declined.code, declined.all).toBe(3);
    expect(declined.stdout).toContain('Declined');
  });

  it('releases, with a word for each warning', async () => {
    const { findings, stands } = await json<{
      findings: { id: string; severity: string }[];
      stands: { broken: { id: string }[]; gained: { points: string } };
    }>('release', '--look');
    const silent = await run('release', '--note', 'Without a word');
    expect(silent.code, silent.all).toBe(1);
    const ids = [
      ...findings.filter((f) => f.severity === 'warning').map((f) => f.id),
      ...stands.broken.map((e) => `expectation:${e.id}`),
      'gained',
    ];
    const words = ids.flatMap((id) => ['--word', `${id}=Meant so.`]);
    const made = await json<{ number: number }>('release', '--note', 'From the shell', ...words);
    expect(made.number).toBe(1);
    const [site] = await json<{ site: string; wanted: number }[]>('sites');
    expect(site).toMatchObject({ site: YARD, wanted: 1 });
  });

  it('lists the ledger as JSON', async () => {
    const page = await json<{ fills: unknown[]; totals: { fills: number } }>('ledger');
    expect(page.fills).toEqual([]);
    expect(page.totals.fills).toBe(0);
  });

  it('exports a workbook that another office imports to the same fleet', async () => {
    await json('export', path('out.xlsx'));
    const own = { FILLWRIGHT_HOME: stage.folder('other-home'), FILLWRIGHT_PASSWORD: OWNER.password };
    const there = ['--office', other.url];
    expect((await stage.run(['sign-in', OWNER.email, ...there], own)).code).toBe(0);
    const taken = await stage.run(['import', path('out.xlsx'), ...there], own);
    expect(taken.code, taken.all).toBe(0);
    const fleetAt = async (o: Office) => must(await call(o.caller, 'fleet', { query: { which: 'draft' } })).fleet;
    expect(await fleetAt(other)).toEqual(await fleetAt(office));
    const again = await json<{ editCount: number }>('import', path('out.xlsx'), '--look');
    expect(again.editCount).toBe(0);
  });
});

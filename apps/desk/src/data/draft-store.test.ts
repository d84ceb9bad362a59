import { problem } from '@fillwright/core/errors';
import { applyEdits, type Edit, emptyFleet, type Fleet, newRow, toJson } from '@fillwright/core/fleet';
import type { Change } from '@fillwright/wire';
import { describe, expect, it } from 'vitest';
import type { Waiting } from './draft-line.ts';
import { readHere } from './draft-read.ts';
import { draftStore } from './draft-store.ts';
import type { DraftLinks } from './draft-talk.ts';

const driver = (id: string, name: string): Edit => ({
  op: 'put',
  table: 'drivers',
  row: newRow('drivers', { id, name }),
});
const rename = (id: string, name: string): Edit => ({ op: 'set', table: 'drivers', id, fields: { name } });

/** An office on one page: keeps a draft, tells what was changed since, and refuses a change that meets another's. */
function office() {
  let fleet: Fleet = emptyFleet({ name: 'Marrow Vale', units: 'us', currency: 'USD' });
  const changes: Change[] = [];
  let silent = 0;
  const make = (edits: Edit[], by: string) => {
    const next = applyEdits(fleet, edits);
    if (!next.ok) throw new Error(JSON.stringify(next.error));
    fleet = next.value;
    changes.push({ version: changes.length + 1, at: 0, by, kind: 'edit', note: '', edits });
    return { version: changes.length, canUndo: true, canRedo: false, edits };
  };
  make([driver('ada', 'Ada'), driver('ben', 'Ben')], 'start');
  const ok = (value: unknown) => ({ ok: true as const, value });
  const fail = (status: number, code: 'FW-905' | 'FW-301') => {
    const said = problem(code);
    return { ok: false as const, error: { status, problem: said, all: [said] } };
  };
  const hub = async (name: string, give: unknown): Promise<unknown> => {
    const { body, query } = give as { body?: { version: number; edits: Edit[] }; query?: { version: number } };
    if (name === 'draft')
      return ok({ version: changes.length, base: null, canUndo: true, canRedo: false, fleet: toJson(fleet) });
    if (name === 'draftSince') return ok(changes.filter((c) => c.version > (query?.version ?? 0)));
    if (silent > 0) {
      silent--;
      return fail(0, 'FW-905');
    }
    const names = (edits: readonly unknown[]) => (edits as Edit[]).flatMap((e) => (e.op === 'set' ? [e.id] : []));
    const since = changes.filter((c) => c.version > (body?.version ?? 0));
    const mine = body?.edits ?? [];
    if (since.some((c) => names(c.edits).some((id) => names(mine).includes(id)))) return fail(409, 'FW-301');
    return ok(make(mine, 'me'));
  };
  return {
    hub: hub as unknown as DraftLinks['hub'],
    byOther: (edits: Edit[]) => make(edits, 'Bea'),
    beSilent: (times: number) => {
      silent = times;
    },
    names: () => [...fleet.drivers.values()].map((d) => d.name),
  };
}

async function opened(recalled: Waiting[] = []) {
  const there = office();
  const remembered: number[] = [];
  const store = draftStore({
    hub: there.hub,
    readDraft: () => readHere(there.hub),
    pause: async () => {},
    remember: (waiting) => remembered.push(waiting.length),
    recall: () => recalled,
  });
  await store.read();
  const settled = async () => {
    while (store.get().waiting.length > 0 || store.get().keeping !== 'kept')
      await new Promise((done) => setImmediate(done));
  };
  const names = () => [...(store.get().fleet?.drivers.values() ?? [])].map((d) => d.name);
  return { there, store, settled, names, remembered };
}

describe('the draft of a window', () => {
  it('shows a change at once and has it kept, one after the other', async () => {
    const { there, store, settled, names } = await opened();
    store.edit([rename('ada', 'Ada Fenn')]);
    store.edit([rename('ben', 'Ben Ochre')]);
    expect(names()).toEqual(['Ada Fenn', 'Ben Ochre']);
    await settled();
    expect(there.names()).toEqual(['Ada Fenn', 'Ben Ochre']);
    expect(store.get().version).toBe(3);
  });

  it('takes nothing that a row may not hold', async () => {
    const { store, names } = await opened();
    expect(store.edit([rename('ada', '')]).ok).toBe(false);
    expect(names()).toEqual(['Ada', 'Ben']);
    expect(store.get().waiting).toEqual([]);
  });

  it('keeps changes while the office is silent and sends them when it answers', async () => {
    const { there, store, settled, remembered } = await opened();
    there.beSilent(3);
    store.edit([rename('ada', 'Ada Fenn')]);
    await settled();
    expect(there.names()).toEqual(['Ada Fenn', 'Ben']);
    expect(remembered).toEqual([1, 0]);
  });

  it('sends what a page that was left had not sent', async () => {
    const { there, settled } = await opened([{ edits: [rename('ben', 'Ben Ochre')], note: '' }]);
    await settled();
    expect(there.names()).toEqual(['Ada', 'Ben Ochre']);
  });

  it('lets changes to different records both stand', async () => {
    const { there, store, settled, names } = await opened();
    there.byOther([rename('ben', 'Ben of Bea')]);
    store.edit([rename('ada', 'Ada Fenn')]);
    await settled();
    expect(names()).toEqual(['Ada Fenn', 'Ben of Bea']);
    expect(there.names()).toEqual(['Ada Fenn', 'Ben of Bea']);
  });

  it('sets a change aside that met another, shows theirs, and makes ours again only when told', async () => {
    const { there, store, settled, names } = await opened();
    there.byOther([rename('ada', 'Ada of Bea')]);
    store.edit([rename('ada', 'Ada Fenn')]);
    await settled();
    expect(names()).toEqual(['Ada of Bea', 'Ben']);
    expect(store.get().clash).toMatchObject({ theirs: [{ by: 'Bea' }], problem: { code: 'FW-301' } });
    store.again();
    await settled();
    expect(there.names()).toEqual(['Ada Fenn', 'Ben']);
    expect(store.get().clash).toBeUndefined();
  });

  it('sets aside with a change what was built on it, so that both can be made again', async () => {
    const { there, store, settled, names } = await opened();
    there.byOther([rename('ada', 'Ada of Bea')]);
    store.edit([rename('ada', 'Ada Fenn'), driver('cleo', 'Cleo')]);
    store.edit([rename('cleo', 'Cleo Marsh')]);
    await settled();
    expect(names()).toEqual(['Ada of Bea', 'Ben']);
    expect(store.get().clash?.mine).toHaveLength(2);
    store.again();
    await settled();
    expect(there.names()).toEqual(['Ada Fenn', 'Ben', 'Cleo Marsh']);
  });

  it('knows of a release that was made since, and never of an older one again', async () => {
    const { store } = await opened();
    expect(store.get().base).toBeNull();
    store.released(2);
    store.released(1);
    expect(store.get().base).toBe(2);
  });
});

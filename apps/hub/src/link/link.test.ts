import { canonical } from '@fillwright/core/fleet';
import { type Entry, entrySchema } from '@fillwright/core/island';
import { type Bundle, call, parseDownTopic, type StateMessage, topics } from '@fillwright/wire';
import { chainHash } from '@fillwright/wire/chain';
import { newSealingKeys, newSigningKeys, openSigned, sha256Hex, unseal } from '@fillwright/wire/keys';
import { connectAsync, type MqttClient } from 'mqtt';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { fillDraft, given, openOffice, releaseDraft, type TestOffice } from '../testing/office.ts';

/** A box on the wire, as far as the office can tell: real keys, a real MQTT client, entries as a site writes them. */
interface Box {
  readonly client: MqttClient;
  readonly officeKey: string;
  readonly sealPrivate: string;
  next(kind: string): Promise<unknown>;
  say(kind: 'entries' | 'state' | 'fetch' | 'got', value: object): void;
}

let office: TestOffice;
let box: Box;
const fleet = () => office.me.fleet;

async function join(site = 'north'): Promise<Box> {
  const { code } = await given(call(office.owner, 'joinCode', { params: { site } }));
  const seals = newSealingKeys();
  const body = {
    code: code.toLowerCase(),
    signKey: newSigningKeys().publicKey,
    sealKey: seals.publicKey,
    box: 'box-1',
  };
  const joined = await given(call(office.owner, 'join', { body }));
  expect(await call(office.owner, 'join', { body })).toMatchObject({ error: { problem: { code: 'FW-405' } } });
  const client = await connectAsync(joined.mqttUrl, {
    protocolVersion: 4,
    clientId: `box-${code}`,
    username: joined.user,
    password: joined.password,
    will: {
      topic: topics.up(joined.fleet, site, 'state'),
      payload: Buffer.from(JSON.stringify({ ...stateOf(null), link: 'gone' })),
      qos: 1,
      retain: true,
    },
  });
  const heard = new Map<string, unknown[]>();
  const waiting = new Map<string, ((value: unknown) => void)[]>();
  client.on('message', (topic, payload) => {
    const kind = parseDownTopic(topic)?.kind ?? '';
    if (payload.length === 0) return;
    const value = JSON.parse(payload.toString());
    const taker = waiting.get(kind)?.shift();
    if (taker) taker(value);
    else heard.set(kind, [...(heard.get(kind) ?? []), value]);
  });
  await client.subscribeAsync([topics.everyDown(joined.fleet, site), topics.everyAll(joined.fleet)], { qos: 1 });
  return {
    client,
    officeKey: joined.officeKey,
    sealPrivate: seals.privateKey,
    next: (kind) => {
      const had = heard.get(kind)?.shift();
      if (had !== undefined) return Promise.resolve(had);
      return new Promise((resolve) => waiting.set(kind, [...(waiting.get(kind) ?? []), resolve]));
    },
    say: (kind, value) => {
      client.publish(topics.up(joined.fleet, site, kind), JSON.stringify(value), { qos: 1, retain: kind === 'state' });
    },
  };
}

const stateOf = (running: number | null): StateMessage => ({
  at: 1,
  link: 'here',
  running,
  runningSince: running === null ? null : 1,
  delivered: running,
  refused: null,
  stale: false,
  cutOff: false,
  unsent: 0,
  epoch: '1',
  version: '0.1.0',
  hoses: [],
  tanks: [],
});

/** Entries chained as a box does. */
const wired = (entries: readonly (Entry | string)[]) => {
  let hash = '00'.repeat(32);
  return entries.map((entry, i) => {
    const text = typeof entry === 'string' ? entry : canonical(entrySchema.parse(entry));
    const at = typeof entry === 'string' ? 1 : entry.at;
    hash = chainHash(hash, i + 1, at, text);
    return { seq: i + 1, at, hash, text };
  });
};

beforeAll(async () => {
  office = await openOffice();
  await fillDraft(office);
  await releaseDraft(office);
  box = await join();
});
afterAll(async () => {
  await box?.client.endAsync(true);
  await office?.stop();
});

test('a box that comes is told what it should run, fetches it, and the bundle is the office’s own', async () => {
  box.say('state', stateOf(null));
  const wanted = (await box.next('wanted')) as { revision: number; digest: string; bytes: number };
  expect(wanted.revision).toBe(1);
  box.say('fetch', { revision: 1 });
  const signed = (await box.next('bundle')) as { signed: string; signature: string };
  expect(sha256Hex(signed.signed)).toBe(wanted.digest);
  expect(Buffer.byteLength(signed.signed)).toBe(wanted.bytes);
  const bundle = openSigned(signed, box.officeKey) as Bundle;
  expect(bundle).toMatchObject({ site: 'north', revision: 1, parent: null, fleet: fleet() });
  expect(bundle.proof).toHaveLength(200);
  expect(bundle.proof.some((p) => p.approved)).toBe(true);
  expect(new Set(bundle.proof.map((p) => p.by)).size).toBeGreaterThan(3);
  expect((await given(call(office.owner, 'sites', {})))[0]).toMatchObject({
    link: 'here',
    running: null,
    joined: true,
  });
});

test('running is what the box says', async () => {
  box.say('state', stateOf(1));
  await expect
    .poll(async () => (await given(call(office.owner, 'sites', {})))[0]?.running, { timeout: 20_000 })
    .toBe(1);
  const running = await given(call(office.owner, 'running', { params: { site: 'north' } }));
  expect(running.which).toBe('1');
});

test('a fill comes to the ledger, the tanks and the totals, and is acknowledged after it is stored', async () => {
  const at = office.clock.at;
  const authorised: Entry = {
    kind: 'authorised',
    at,
    terminal: 'k1',
    hose: 'h1',
    credentials: ['c1', 'c2'],
    driver: 'd1',
    vehicle: 'v1',
    product: 'diesel',
    tanks: ['t1', 't2'],
    limitUl: 300_000_000,
    by: 'per-day',
    steps: [{ rule: 'per-day', says: 'limit', limit: 300_000_000 }],
    notes: [],
    charged: [{ holder: 'driver:d1', allowance: 'daily' }],
    answers: {},
    price: 40_000,
    unit: 'gal',
    pulsesPerMeasure: 100_000,
    limitPulses: 7925,
    stopAtPulses: 7900,
    cutOff: false,
    revision: 1,
  };
  const ended: Entry = {
    kind: 'ended',
    at: at + 60_000,
    fill: 'north.1.1',
    hose: 'h1',
    reason: 'hung',
    pulses: 1000,
    ul: 37_854_118,
    amount: null,
    overPulses: 0,
    overUl: 0,
    armedAt: at,
    firstPulseAt: at + 2000,
    timers: [],
    curve: [
      [0, 0],
      [60_000, 1000],
    ],
    lagPulses: null,
    count: 1000,
  };
  const [first, second, third] = wired([authorised, ended, '{"kind":"unheard"}']);
  box.say('entries', { epoch: '1', entries: [second] });
  expect(await box.next('ack')).toEqual({ epoch: '1', upTo: 0, setAside: [] });
  expect((await given(call(office.owner, 'sites', {})))[0]?.gap).toBe(true);
  box.say('entries', { epoch: '1', entries: [first, third] });
  expect(await box.next('ack')).toEqual({ epoch: '1', upTo: 3, setAside: [3] });
  const usage = (await box.next('usage')) as { totals: unknown[] };
  expect(usage.totals).toEqual([
    { site: 'north', holder: 'driver:d1', allowance: 'daily', date: '2026-06-01', volume: 37_854_118, fills: 1 },
  ]);
  const page = await given(call(office.owner, 'fills', { query: { text: 'finch lorry' } }));
  expect(page.totals).toEqual({ fills: 1, volume: 37_854_118, amount: 400_000 });
  expect(page.fills[0]).toMatchObject({
    id: 'north.1.1',
    driverName: 'Bo Finch',
    vehicleName: 'Lorry 1',
    costCentre: 'roads',
    state: 'ended',
    stopReason: 'hung',
  });
  const detail = await given(call(office.owner, 'fill', { params: { id: 'north.1.1' } }));
  expect(detail.curve).toEqual([
    [0, 0],
    [60, 37_854_118],
  ]);
  expect(detail.entries.map((e) => e.kind)).toEqual(['authorised', 'ended']);
  expect((await given(call(office.owner, 'sites', {})))[0]?.gap).toBe(false);
  expect(await given(call(office.owner, 'setAside', {}))).toMatchObject([{ seq: 3, text: '{"kind":"unheard"}' }]);
  // Three quarters of the manifold's capacity is in the first tank.
  const books = await given(call(office.owner, 'tankBooks', {}));
  expect(books.map((b) => b.book)).toEqual([-28_390_588, -9_463_530]);
  const csv = Buffer.from((await given(call(office.owner, 'fillsCsv', {}))) as ArrayBuffer).toString();
  expect(csv).toContain('10.000');
  expect(csv).toContain('40.00');
});

test('the book of a tank takes deliveries and corrections; a dip stands beside it', async () => {
  const { owner, clock } = office;
  const write = (kind: 'delivery' | 'dip' | 'correction', volume: number, after: number) =>
    call(owner, 'addTankMove', { params: { tank: 't2' }, body: { kind, volume, at: clock.at + after, note: '' } });
  const before = (await given(call(owner, 'tankBooks', {})))[1]?.book ?? 0;
  await given(write('delivery', 5_000_000_000, 100_000));
  await given(write('dip', 4_900_000_000, 200_000));
  expect((await given(write('correction', -1_000_000, 300_000))).book).toBe(before + 4_999_000_000);
  const moves = await given(call(owner, 'tankMoves', { params: { tank: 't2' } }));
  expect(moves.map((m) => m.kind)).toEqual(['correction', 'dip', 'delivery', 'fill']);
  expect(moves[1]).toMatchObject({ volume: 4_900_000_000, book: before + 5_000_000_000 });
  expect((await given(call(owner, 'tankBooks', {})))[1]).toMatchObject({ measured: 4_900_000_000 });
  expect(await write('delivery', -5, 0)).toMatchObject({ error: { problem: { code: 'FW-201' } } });
});

test('a stop is signed for the site, waits until it is taken, and undo does not lift it', async () => {
  const { owner } = office;
  const stop = await given(call(owner, 'stopCredential', { params: { id: 'c1' }, body: { reason: 'lost' } }));
  expect(stop.sites).toEqual([{ site: 'north', name: 'North yard', gotAt: null }]);
  const order = openSigned((await box.next('stop')) as never, box.officeKey);
  expect(order).toMatchObject({ id: stop.id, site: 'north', numbers: ['1001'], reason: 'lost' });
  const { version } = await given(call(owner, 'draft', {}));
  await call(owner, 'undo', { body: { version } });
  const draft = (await given(call(owner, 'draft', {}))).fleet as { credentials?: { id: string; stopped: boolean }[] };
  expect(draft.credentials?.find((c) => c.id === 'c1')?.stopped ?? true).toBe(true);
  await given(call(owner, 'redo', { body: { version: version + 1 } }));
  box.say('got', { kind: 'stop', id: stop.id });
  await expect
    .poll(async () => (await given(call(owner, 'stops', {})))[0]?.sites[0]?.gotAt, { timeout: 20_000 })
    .toBe(office.clock.at);
});

test('PINs go sealed to the box alone, and come again until it has them', async () => {
  const { owner } = office;
  for (const pin of ['123', '1111', '1234', '4321', '7890', '12ab'])
    expect(await call(owner, 'setPin', { params: { id: 'd1' }, body: { pin } }), pin).toMatchObject({
      error: { problem: { code: 'FW-406' } },
    });
  await given(call(owner, 'setPin', { params: { id: 'd1' }, body: { pin: '8052' } }));
  const sent = (await box.next('pins')) as { version: number; pins: { driver: string; sealed: string }[] };
  expect(sent.version).toBe(1);
  expect(unseal(sent.pins[0]?.sealed ?? '', box.sealPrivate)).toBe('8052');
  expect(JSON.stringify(sent)).not.toContain('8052');
  expect(await given(call(owner, 'pinsSet', {}))).toEqual(['d1']);
  box.say('got', { kind: 'pins', version: 1 });
  await given(call(owner, 'setPin', { params: { id: 'd1' }, body: { pin: null } }));
  expect(await box.next('pins')).toEqual({ version: 2, pins: [{ driver: 'd1', sealed: null }] });
});

test('a box that takes the place of another is told everything that stands, and the other is shut out', async () => {
  const closed = new Promise<void>((resolve) => box.client.once('close', () => resolve()));
  const old = box;
  box = await join();
  await closed;
  await old.client.endAsync(true);
  box.say('state', stateOf(1));
  expect(await box.next('wanted')).toMatchObject({ revision: 1 });
  expect(openSigned((await box.next('stop')) as never, box.officeKey)).toMatchObject({ numbers: ['1001'] });
  expect(await box.next('pins')).toMatchObject({ version: 2 });
  expect(await box.next('usage')).toMatchObject({ totals: [{ volume: 37_854_118, fills: 1 }] });
});

test('a box may not speak for another site or listen to it', async () => {
  await box.client.subscribeAsync(topics.everyDown(fleet(), 'south'), { qos: 1 }).then(
    (granted) => expect(granted[0]?.qos).toBe(128),
    () => undefined,
  );
  const closed = new Promise<void>((resolve) => box.client.once('close', () => resolve()));
  box.client.publish(topics.up(fleet(), 'south', 'state'), JSON.stringify(stateOf(9)), { qos: 1 });
  await closed;
  await expect
    .poll(async () => (await given(call(office.owner, 'sites', {})))[0]?.link, { timeout: 20_000 })
    .toBe('gone');
});

import { compile, decide, NO_USAGE } from '@fillwright/core/decide';
import { emptyFleet, type Fleet, newRow, type RowOf, type TableName } from '@fillwright/core/fleet';
import { zoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { plausibleAnswers, smallWorld } from '../../test/small-world.ts';
import { type Fact, presentationsFor, pressesNeeded, recognise, UNKNOWN, worksheetOf } from './index.ts';

const AT = Date.UTC(2026, 2, 10, 17);
const GAL = 3_785_412;

/** Two islands, four hoses of two products, three tanks; PIN, night allowance, a stopped card and one of another site. */
function fourHoses(): Fleet {
  const fleet = emptyFleet({ name: 'Four', units: 'us', currency: 'USD' });
  const put = <T extends TableName>(table: T, row: Partial<RowOf<T>> & { id: string }) =>
    (fleet[table] as unknown as Map<string, RowOf<T>>).set(row.id, newRow(table, row));
  for (const id of ['diesel', 'petrol', 'def']) put('products', { id, name: id });
  put('sites', { id: 's', name: 'South yard', zone: 'America/Denver', identify: 'both', pin: true });
  put('sites', { id: 'other', name: 'Other', zone: 'America/Denver' });
  for (const id of ['i1', 'i2']) put('islands', { id, site: 's', name: id });
  for (const id of ['diesel', 'petrol', 'def']) {
    put('tanks', { id: `t-${id}`, site: 's', name: `Tank of ${id}`, product: id });
    put('pumps', { id: `p-${id}`, site: 's', name: id, tanks: [`t-${id}`] });
  }
  for (const n of [1, 2])
    put('terminals', { id: `k${n}`, site: 's', island: `i${n}`, name: `Terminal ${n}`, paper: 32 });
  for (const [n, product] of ['diesel', 'diesel', 'petrol', 'def'].entries())
    put('hoses', {
      id: `h${n + 1}`,
      site: 's',
      number: n + 1,
      island: n < 2 ? 'i1' : 'i2',
      pump: `p-${product}`,
      terminals: [n < 2 ? 'k1' : 'k2'],
      product,
      channel: n + 1,
    });
  put('allowances', { id: 'day', name: 'Day', products: ['diesel', 'def'], perFill: 60 * GAL });
  put('allowances', { id: 'cars', name: 'Cars', products: ['petrol'], perFill: 18 * GAL });
  put('allowances', {
    id: 'night',
    name: 'Night',
    products: ['diesel'],
    times: [{ days: [0, 1, 2, 3, 4, 5, 6], from: 1320, to: 300 }],
  });
  put('drivers', { id: 'd1', name: 'Bo', allowances: ['day', 'cars'] });
  put('drivers', { id: 'd2', name: 'Ira', allowances: ['night'] });
  put('drivers', { id: 'd3', name: 'Gil', allowances: ['day'], sites: ['other'] });
  put('vehicles', { id: 'v1', name: 'Lorry' });
  for (const n of [1, 2, 3]) put('credentials', { id: `c${n}`, number: `100${n}`, driver: `d${n}` });
  put('credentials', { id: 'c4', number: '2001', vehicle: 'v1' });
  put('credentials', { id: 'c5', number: '1009', driver: 'd1', stopped: true });
  put('expectations', { id: 'e1', who: 'driver', whoName: 'd3', must: 'never', site: 's' });
  put('expectations', {
    id: 'e2',
    who: 'driver',
    whoName: 'd2',
    must: 'can',
    site: 's',
    times: [{ days: [0, 1, 2, 3, 4, 5, 6], from: 1320, to: 300 }],
  });
  return fleet;
}

const zones = (zone: string) => zoneTable(zone, 2025, 2027);

describe('presentations', () => {
  const fleet = fourHoses();
  const policy = compile(fleet, zones);
  const { chosen, fewest, notNow } = presentationsFor(policy, 's', AT);
  const shown = new Set(chosen.flatMap((p) => p.shows));

  it('touch every hose, both ways at each terminal, every allowance and every rule that can turn away here', () => {
    for (const [h, k] of [
      ['h1', 'k1'],
      ['h2', 'k1'],
      ['h3', 'k2'],
      ['h4', 'k2'],
    ])
      expect(shown).toContain(`hose ${h} at ${k}`);
    for (const k of ['k1', 'k2'])
      for (const way of ['let in', 'turned away']) expect(shown).toContain(`${way} at ${k}`);
    for (const rule of ['pin', 'card-known', 'card-stopped', 'holder-site', 'allowance-time', 'allowance-product'])
      expect(shown, rule).toContain(`turned away by ${rule}`);
    for (const a of ['day', 'cars']) expect(shown).toContain(`allowance ${a}`);
    expect(shown).toContain('expectation e1');
    expect(fewest).toBe(true);
    expect(notNow).toEqual(['expectation e2']);
    expect(chosen.length).toBeLessThanOrEqual(14);
  });

  it('a pair of whom each is the reason for something is not asked for twice', () => {
    const all = chosen.map((p) => JSON.stringify([p.terminal, p.hose, p.credentials, p.wrongPin, p.wrongAnswer]));
    expect(new Set(all).size).toBe(all.length);
    // None can be left out.
    for (const p of chosen) {
      const rest = new Set(chosen.filter((o) => o !== p).flatMap((o) => o.shows));
      expect(p.shows.every((key) => rest.has(key))).toBe(false);
    }
  });

  it('of small worlds: whatever any two cards meet anywhere is met by a chosen one', () => {
    let [seen, sites] = [0, 0];
    for (let seed = 1; seed <= 40; seed++) {
      const { fleet: small } = smallWorld(seed);
      for (const [i, id] of ['t0', 't1'].entries())
        (small.terminals as Map<string, RowOf<'terminals'>>).set(
          id,
          newRow('terminals', { id, site: `s${i % small.sites.size}`, island: 'i0', name: id }),
        );
      const p = compile(small, zones);
      const answers = plausibleAnswers(small);
      for (const site of small.sites.keys()) {
        const got = presentationsFor(p, site, AT);
        const mine = new Set(got.chosen.flatMap((c) => c.shows));
        const terminals = [...small.terminals.values()].filter((t) => t.site === site).map((t) => t.id);
        const hoses = [...small.hoses.values()].filter((h) => h.site === site && h.active).map((h) => h.id);
        if (terminals.length > 0 && hoses.length > 0) sites++;
        const cards = [...p.cards].flatMap(([number, c]) => (c === null ? [] : [number]));
        for (const terminal of terminals)
          for (const hose of hoses.filter((h) => small.hoses.get(h)?.terminals.includes(terminal)))
            for (const a of cards)
              for (const b of ['', ...cards]) {
                const d = decide(
                  p,
                  { site, hose, terminal, at: AT, credentials: b ? [a, b] : [a], pin: 'right', answers },
                  NO_USAGE,
                );
                if (d.approved) {
                  seen++;
                  expect(mine, `seed ${seed}`).toContain(`hose ${hose} at ${terminal}`);
                } else if (d.by.says !== 'ask' && d.by.rule !== 'cards-agree' && d.by.rule !== 'question') {
                  seen++;
                  expect(mine, `seed ${seed} ${d.by.rule} ${a} ${b}`).toContain(`turned away by ${d.by.rule}`);
                }
              }
      }
    }
    expect(sites).toBeGreaterThan(20);
    expect(seen).toBeGreaterThan(500);
  });
});

describe('a worksheet', () => {
  const fleet = fourHoses();
  const policy = compile(fleet, zones);
  const sheet = worksheetOf(policy, 's', 7, AT);

  it('of a four-hose site takes at most 40 presses where the journal speaks for itself', () => {
    expect(pressesNeeded(sheet)).toBeLessThanOrEqual(40);
    expect(pressesNeeded(sheet, false)).toBeGreaterThan(40);
    expect(new Set(sheet.steps.map((s) => s.id)).size).toBe(sheet.steps.length);
    expect(sheet.bring.some((b) => b.includes('not in the roster'))).toBe(true);
  });

  it('every step at a dispenser, tank or panel carries the cautions, and what only licensed people do says so', () => {
    for (const s of sheet.steps) if (/safety|meter|stick/.test(s.id)) expect(s.caution, s.id).toBe(true);
    expect(sheet.steps.find((s) => s.id === 'meter proof h1')?.who).toMatch(/registered/);
    expect(sheet.steps.find((s) => s.id === 'safety bond')?.who).toMatch(/electrician/);
  });

  const let1 = sheet.steps.find((s) => s.seen?.by === 'let in' && s.seen.hose === 'h1');
  const away = sheet.steps.find((s) => s.seen?.by === 'turned away' && s.seen.credentials.includes(UNKNOWN));
  if (let1?.seen?.by !== 'let in' || away?.seen?.by !== 'turned away') throw new Error('no such steps');
  const seenIn = let1.seen;
  const auth: Fact = {
    ref: 's.e.1',
    kind: 'authorised',
    at: AT,
    terminal: 'k1',
    hose: 'h1',
    driver: seenIn.driver ?? undefined,
    vehicle: seenIn.vehicle ?? undefined,
    credentials: ['c1', 'c4'],
    revision: 7,
    limitUl: seenIn.limit,
  };
  const ended: Fact = {
    ref: 's.e.9',
    kind: 'ended',
    at: AT + 1,
    hose: 'h1',
    fill: 's.e.1',
    reason: 'limit',
    overPulses: 1,
  };
  const of = (facts: Fact[], from = AT) => new Map(recognise(sheet, facts, [], from).map((r) => [r.step, r]));

  it('recognises what the journal proves, and only that', () => {
    const got = of([auth, ended]);
    expect(got.get(let1.id)).toMatchObject({ verdict: 'good', ref: 's.e.1' });
    expect(got.get('hose limit h1')).toMatchObject({ verdict: 'good' });
    expect(got.get('start runs')).toMatchObject({ verdict: 'good' });
    expect(got.size).toBe(3);
    expect(of([auth, { ...ended, overPulses: 2 }]).get('hose limit h1')).toMatchObject({ verdict: 'bad' });
    // Under another release, before the sheet, at another terminal, by another driver: nothing.
    expect(of([{ ...auth, revision: 6 }, ended]).size).toBe(0);
    expect(of([auth, ended], AT + 2).size).toBe(0);
    expect(of([{ ...auth, terminal: 'k2' }]).has(let1.id)).toBe(false);
    expect(of([{ ...auth, driver: 'd2' }]).has(let1.id)).toBe(false);
    expect(of([{ ...auth, limitUl: seenIn.limit + 1 }]).get(let1.id)?.verdict).toBe('bad');
  });

  it('a refusal counts for the rule that was expected, whatever the unknown card', () => {
    const refused: Fact = {
      ref: 's.e.2',
      kind: 'refused',
      at: AT,
      terminal: away.seen?.by === 'turned away' ? away.seen.terminal : '',
      credentials: ['unknown-4711'],
      reason: 'card-known',
      revision: 7,
    };
    expect(of([refused]).get(away.id)?.verdict).toBe('good');
    expect(of([{ ...refused, reason: 'pin' }]).has(away.id)).toBe(false);
    expect(of([{ ...refused, credentials: ['c1'] }]).has(away.id)).toBe(false);
  });

  it('the newest proof of a meter decides; e-stop and reset; a gauge without a level is not in order', () => {
    const proof = (verdict: 'passes' | 'fails' | 'incomplete', at: number) => ({
      ref: `p${at}`,
      hose: 'h1',
      at,
      verdict,
    });
    const meter = (list: ReturnType<typeof proof>[]) =>
      recognise(sheet, [], list, AT).find((r) => r.step === 'meter proof h1')?.verdict;
    expect(meter([proof('passes', AT), proof('fails', AT + 1)])).toBe('bad');
    expect(meter([proof('fails', AT), proof('passes', AT + 1), proof('incomplete', AT + 2)])).toBe('good');
    expect(meter([proof('passes', AT - 1)])).toBeUndefined();
    const got = of([
      auth,
      { ...ended, reason: 'eStop' },
      { ref: 'x', kind: 'resumed', at: AT + 3, block: 'eStop' },
      { ref: 'y', kind: 'reading', at: AT + 3, tank: 't-def' },
    ]);
    expect(got.get('stop press')?.verdict).toBe('good');
    expect(got.get('stop reset')?.verdict).toBe('good');
    expect(got.get('tank gauge t-def')?.verdict).toBe('bad');
  });
});

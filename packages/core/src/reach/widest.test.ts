import { compile, decide, LEAST_USEFUL, NO_USAGE, unanswerable } from '@fillwright/core/decide';
import { type Fleet, newRow } from '@fillwright/core/fleet';
import { accessOf, type PartyClass, possible, presentedBy, reachTable, type Table } from '@fillwright/core/reach';
import type { ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { openWorld, withPairs, withTwins } from '../../test/open-world.ts';
import { plausibleAnswers, seeded, smallWorld } from '../../test/small-world.ts';

const FLEETS = Number(process.env.FILLWRIGHT_REACH_FLEETS ?? 500);
const OPEN_FLEETS = Number(process.env.FILLWRIGHT_OPEN_FLEETS ?? 40);
const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const FIRST = Date.UTC(2026, 2, 5) / 86_400_000;
const LAST = FIRST + 6;

/** What happens at the points where something can change, by trying every way of presenting at every hose. */
function tried(fleet: Fleet) {
  const policy = compile(fleet, () => UTC);
  const table = reachTable(policy, [FIRST, LAST]);
  const answers = plausibleAnswers(fleet);
  const decides = new Set<string>();
  const draws = new Set<PartyClass>();
  const drawn = new Set<string>();
  const numbers = [...new Set([...fleet.credentials.values()].map((c) => c.number))];
  const ways = numbers.flatMap((a) => [[a], ...numbers.filter((b) => b > a).map((b) => [a, b])]);
  for (const hose of table.hoses) {
    for (const way of ways) {
      const who = presentedBy(table, way);
      const steps = who && accessOf(table, who, hose);
      if (!who || !steps || steps.top < LEAST_USEFUL) continue;
      for (let day = FIRST; day <= LAST; day++) {
        for (const from of steps.from) {
          const at = (day * 1440 + (from % 1440)) * 60_000;
          const one = hose.members[0]?.row.id as string;
          const d = decide(
            policy,
            { site: hose.siteId, hose: one, at, credentials: way, pin: 'right', answers },
            NO_USAGE,
          );
          if (!d.approved) continue;
          drawn.add(one);
          for (const holder of [who.driver, who.vehicle]) if (holder) draws.add(holder);
          if (d.by.on?.table === 'allowances') decides.add(d.by.on.id);
        }
      }
    }
  }
  return { table, decides, draws, drawn, leads: leading(table) };
}

/** Allowances that are the widest of their holder's own at a hose that the holder may use, of those who ever stand there. */
function leading({ policy, drivers, vehicles, couples, hoses, book }: Table): Set<string> {
  const leads = new Set<string>();
  const at = (parties: readonly PartyClass[]) => {
    if (parties.some((p) => p.mute)) return;
    for (const hose of hoses) {
      if (policy.sites.get(hose.siteId)?.questions.some(unanswerable)) continue;
      if (parties.some((p) => p.sites !== null && p.sites[hose.site] !== 1)) continue;
      for (const party of parties) {
        const steps = party.list.at(hose.site, hose.product);
        for (const [i, room] of steps?.room.entries() ?? []) {
          const id = book.reasons[steps?.why[i] as number]?.allowance;
          if (room >= LEAST_USEFUL && id) leads.add(id);
        }
      }
    }
  };
  for (const party of [...drivers, ...vehicles]) if (party.days.length > 0) at([party]);
  for (const { driver, vehicle, days } of couples) if (days.length > 0) at([driver, vehicle]);
  return leads;
}

/** An open world whose cards and people are good on every day, some cards gone, some naming two, some sites asking a riddle. */
function undated(seed: number): Fleet {
  const random = seeded(seed + 9_000_000);
  const fleet = withPairs(seed % 2 === 0 ? openWorld(seed) : withTwins(openWorld(seed)), seed, 0.3);
  const always = <T extends object>(rows: ReadonlyMap<string, T>) =>
    new Map([...rows].map(([id, row]) => [id, { ...row, validFrom: null, validUntil: null, closed: [] }]));
  const riddle = newRow('questions', { id: 'riddle', prompt: 'Well?', kind: 'text', accepted: [] });
  const asking = <T extends { readonly questions: readonly string[] }>(rows: ReadonlyMap<string, T>) =>
    new Map([...rows].map(([id, row]) => [id, random() < 0.1 ? { ...row, questions: ['riddle'] } : row]));
  return {
    ...fleet,
    questions: new Map([...fleet.questions, ['riddle', riddle]]),
    sites: asking(always(fleet.sites)),
    drivers: asking(always(fleet.drivers)),
    vehicles: asking(always(fleet.vehicles)),
    credentials: new Map([...always(fleet.credentials)].filter(() => random() < 0.7)),
  } as unknown as Fleet;
}

describe('what can happen at all', () => {
  it('never calls impossible what happens, and calls all else impossible where no dates part people', () => {
    let alike = 0;
    let idle = 0;
    const worlds = [
      ...Array.from({ length: FLEETS }, (_, n) => [`seed ${n + 1}`, () => smallWorld(n + 1).fleet] as const),
      ...Array.from({ length: OPEN_FLEETS }, (_, n) => [`open seed ${n}`, () => undated(n)] as const),
      ...Array.from({ length: OPEN_FLEETS }, (_, n) => [`dated open seed ${n}`, () => openWorld(n)] as const),
    ];
    for (const [told, world] of worlds) {
      const { table, decides, draws, drawn, leads } = tried(world());
      const can = possible(table);
      for (const id of decides) expect(can.decides, `${told}: ${id} decides`).toContain(id);
      for (const id of can.decides) expect(can.leads, `${told}: ${id} leads`).toContain(id);
      expect([...can.leads].sort(), `${told} leads`).toEqual([...leads].sort());
      const classes = [...table.drivers, ...table.vehicles];
      for (const c of classes) if (draws.has(c)) expect(can.draws.has(c), `${told}: ${c.key}`).toBe(true);
      for (const h of table.hoses)
        if (drawn.has(h.members[0]?.row.id as string)) expect(can.drawn.has(h), told).toBe(true);
      const parted = [...classes, ...table.couples].some(
        ({ days }) => days.length > 0 && days.join() !== `${FIRST},${LAST}`,
      );
      if (parted || table.hoses.some((h) => h.closed.length > 0)) continue;
      alike++;
      idle += [...can.leads].filter((id) => !can.decides.has(id)).length;
      expect([...can.decides].sort(), told).toEqual([...decides].sort());
      expect(can.draws, told).toEqual(draws);
      expect([...can.drawn].map((h) => h.members[0]?.row.id).sort(), told).toEqual([...drawn].sort());
    }
    expect(alike).toBeGreaterThan(FLEETS / 10);
    expect(idle).toBeGreaterThan(0);
  });
});

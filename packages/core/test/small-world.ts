import type { DecisionRequest, PinState, Usage, Used } from '@fillwright/core/decide';
import { emptyFleet, type Fleet, newRow, type RowOf, type TableName, type Window } from '@fillwright/core/fleet';

/** Small fleets, requests and usage from one seed, dense enough that every rule decides somewhere. */

/** mulberry32, a 32-bit generator published by its author into the public domain; restated. */
export function seeded(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = a;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

export const ZONES = ['America/New_York', 'Europe/London', 'Australia/Lord_Howe', 'Asia/Kathmandu', 'UTC'];
const GAL = 3_785_412;

export interface World {
  readonly fleet: Fleet;
  request(): DecisionRequest;
  usage(): Usage;
  readonly random: () => number;
}

export function smallWorld(seed: number): World {
  const random = seeded(seed);
  const below = (n: number) => Math.floor(random() * n);
  const chance = (p: number) => random() < p;
  const pick = <T>(list: readonly T[]): T => list[below(list.length)] as T;
  const some = <T>(list: readonly T[], p: number): T[] => list.filter(() => chance(p));
  const fleet = emptyFleet({ name: 'Small', units: 'us', currency: 'USD' });
  const put = <T extends TableName>(table: T, row: Partial<RowOf<T>> & { id: string }) =>
    (fleet[table] as unknown as Map<string, RowOf<T>>).set(row.id, newRow(table, row));
  const ids = (prefix: string, n: number) => Array.from({ length: n }, (_, i) => `${prefix}${i}`);

  const products = ids('p', 1 + below(3));
  for (const id of products) put('products', { id, name: id });
  const sites = ids('s', 1 + below(3));
  const questions = ids('q', below(4));
  for (const id of questions) {
    const kind = pick(['odometer', 'hours', 'job', 'text'] as const);
    put('questions', {
      id,
      prompt: id,
      kind,
      accepted: kind === 'text' || chance(0.3) ? ['Red', ' blue '] : [],
      digits: 1 + below(6),
      leastAdvance: chance(0.4) ? below(20) : null,
      mostAdvance: chance(0.4) ? 10 + below(500) : null,
      whenImplausible: pick(['decline', 'note'] as const),
    });
  }
  const dates = [
    '2026-03-07',
    '2026-03-08',
    '2026-03-09',
    '2026-03-29',
    '2026-04-04',
    '2026-04-05',
    '2026-10-25',
    '2026-11-01',
  ];
  const dateOrNull = (p: number) => (chance(p) ? pick(dates) : null);
  for (const id of sites) {
    put('sites', {
      id,
      name: id,
      zone: pick(ZONES),
      closed: chance(0.3) ? some(dates, 0.3) : [],
      identify: pick(['driver', 'vehicle', 'either', 'both'] as const),
      pin: chance(0.4),
      questions: some(questions, 0.2),
      active: chance(0.95),
    });
  }
  const hoses = ids('h', 1 + below(4));
  for (const id of hoses) {
    put('hoses', {
      id,
      site: pick(sites),
      island: 'i0',
      pump: 'u0',
      product: pick(products),
      terminals: some(['t0', 't1'], 0.7),
      mostPerFill: chance(0.05) ? 50_000 : (5 + below(100)) * GAL,
      active: chance(0.95),
    });
  }
  const times = (): Window[] | null =>
    chance(0.5)
      ? null
      : Array.from({ length: 1 + below(2) }, () => ({
          days: some([0, 1, 2, 3, 4, 5, 6], 0.6),
          from: below(48) * 30,
          to: below(49) * 30,
        }));
  const allowances = ids('a', 1 + below(4));
  const quantity = (p: number, most: number) => (chance(p) ? below(most) * GAL : null);
  for (const id of allowances) {
    put('allowances', {
      id,
      name: id,
      products: some(products, 0.8),
      perFill: quantity(0.5, 60),
      perDay: quantity(0.4, 80),
      perWeek: quantity(0.3, 200),
      perMonth: quantity(0.4, 200),
      fillsPerDay: chance(0.3) ? below(4) : null,
      times: times(),
      sites: chance(0.6) ? null : some(sites, 0.7),
      cutOff: pick(['goOn', 'share', 'decline'] as const),
      share: below(101),
    });
  }
  const holder = (id: string) => ({
    id,
    name: id,
    allowances: chance(0.2) ? [] : some(allowances, 0.6),
    sites: chance(0.7) ? null : some(sites, 0.7),
    questions: some(questions, 0.3),
    validFrom: dateOrNull(0.15),
    validUntil: dateOrNull(0.15),
    active: chance(0.92),
  });
  const drivers = ids('d', 1 + below(3));
  for (const id of drivers) put('drivers', holder(id));
  const vehicles = ids('v', 1 + below(3));
  for (const id of vehicles) {
    put('vehicles', {
      ...holder(id),
      capacity: chance(0.5) ? (chance(0.1) ? 10_000 : (5 + below(60)) * GAL) : null,
      counter: pick(['odometer', 'hours', 'none'] as const),
    });
  }
  const cards = ids('c', 2 + below(5));
  for (const [i, id] of cards.entries()) {
    put('credentials', {
      id,
      number: chance(0.08) ? '100' : String(100 + i),
      driver: chance(0.55) ? pick([...drivers, 'gone']) : null,
      vehicle: chance(0.45) ? pick(vehicles) : null,
      validFrom: dateOrNull(0.1),
      validUntil: dateOrNull(0.1),
      stopped: chance(0.06),
    });
  }
  const numbers = ['100', '101', '102', '103', '104', '105', '106', '999'];
  const moment = () => {
    const base = Date.parse(`${pick(dates)}T00:00:00Z`);
    return base + below(3 * 1440) * 60_000 - 1440 * 60_000 + below(60_000);
  };
  const answerFor = (id: string) => {
    const kind = fleet.questions.get(id)?.kind;
    if (kind === 'odometer' || kind === 'hours') return pick(['5', '120', '99999', '', 'x1', '130', ' 150 ']);
    return pick(['red', 'BLUE', 'green', '12', 'A 1', '']);
  };
  const pins: PinState[] = ['right', 'right', 'right', 'right', 'wrong', 'locked', 'notSet', 'notAsked'];
  return {
    fleet,
    random,
    request: () => ({
      site: chance(0.97) ? pick(sites) : 'nowhere',
      hose: chance(0.97) ? pick(hoses) : 'nothing',
      ...(chance(0.5) ? { terminal: pick(['t0', 't1']) } : {}),
      at: moment(),
      credentials: chance(0.03) ? [] : chance(0.5) ? [pick(numbers), pick(numbers)] : [pick(numbers)],
      pin: pick(pins),
      answers: Object.fromEntries(questions.filter(() => chance(0.95)).map((q) => [q, answerFor(q)])),
    }),
    usage: () => {
      const used = new Map<string, Used>();
      for (const who of [...drivers.map((d) => `driver:${d}`), ...vehicles.map((v) => `vehicle:${v}`)]) {
        for (const a of allowances) {
          if (!chance(0.4)) continue;
          const day = below(50) * GAL;
          const week = day + below(50) * GAL;
          used.set(`${who} ${a}`, { day, week, month: week + below(100) * GAL, fillsToday: below(4) });
        }
      }
      const reading = chance(0.6) ? 100 + below(50) : undefined;
      return { cutOff: chance(0.3), used: (h, a) => used.get(`${h} ${a}`), lastReading: () => reading };
    },
  };
}

/** An answer that each question accepts, where there is one. */
export function plausibleAnswers(fleet: Fleet): Record<string, string> {
  const answerOf = (q: RowOf<'questions'>) => {
    if (q.kind === 'odometer' || q.kind === 'hours') return '0';
    return q.accepted.find((a) => q.kind === 'text' || a.trim().length <= q.digits) ?? 'a';
  };
  return Object.fromEntries([...fleet.questions.values()].map((q) => [q.id, answerOf(q)]));
}

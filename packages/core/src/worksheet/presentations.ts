import {
  decide,
  LEAST_USEFUL,
  NO_USAGE,
  type Policy,
  type PolicyCard,
  type RuleCode,
  rightAnswer,
} from '../decide/index.ts';
import { type Expectation, stretchesOf, within } from '../fleet/index.ts';
import { subjectOf } from '../reach/index.ts';
import { formatDate, localMoment, weekdayOf } from '../units/index.ts';
import { fewestSets } from './cover.ts';

/** What to present at a terminal for a hose, and what must come of it. */
export interface Presentation {
  readonly terminal: string;
  readonly hose: string;
  /** Ids of the credentials in order; UNKNOWN stands for any card that the roster does not have. */
  readonly credentials: readonly string[];
  readonly driver: string | null;
  readonly vehicle: string | null;
  /** A PIN keyed wrong on purpose. */
  readonly wrongPin: boolean;
  /** A question answered wrong on purpose. */
  readonly wrongAnswer: string | null;
  /** Microlitres, when it must be let in; 0 when it must be turned away. */
  readonly limit: number;
  readonly rule: RuleCode;
  /** What it shows, by stable keys. */
  readonly shows: readonly string[];
}

export const UNKNOWN = 'unknown';

export interface Presentations {
  readonly chosen: readonly Presentation[];
  /** No smaller choice shows as much; false where the search was given up or not everybody was tried. */
  readonly fewest: boolean;
  /** Keys that no presentation at this moment can show, such as an expectation about the night. */
  readonly notNow: readonly string[];
}

/** Decisions tried before not everybody is tried any more. */
const MOST_TRIED = 400_000;

/**
 * The fewest presentations at a site that touch: every hose from every terminal that may choose it; every terminal letting in and turning away; every
 * allowance that lets somebody in here; every rule that turns somebody away; every expectation that speaks of this moment. What must come of
 * each is `decide`'s answer with nothing drawn before, the site linked, PIN and answers right unless wrong on purpose. `at`: milliseconds UTC.
 */
export function presentationsFor(policy: Policy, site: string, at: number): Presentations {
  const { fleet } = policy;
  const terminals = [...fleet.terminals.values()].filter((t) => t.site === site).map((t) => t.id);
  const hoses = [...fleet.hoses.values()].filter((h) => h.site === site && h.active).map((h) => h.id);
  const speaking = speakingAt(policy, site, at);
  const stands = standIns(policy, site, at, speaking);
  const answers = Object.fromEntries(
    [...fleet.questions.values()].flatMap((q) => {
      const right = rightAnswer(q);
      return right === undefined ? [] : [[q.id, right]];
    }),
  );
  const found = new Map<string, Presentation>();
  const keep = (p: Presentation) => {
    if (p.shows.length === 0) return;
    const key = [...p.shows].sort().join(' ');
    const known = found.get(key);
    // Of two that show the same, the smaller draft and the fewer cards.
    if (!known || p.limit < known.limit || (p.limit === known.limit && p.credentials.length < known.credentials.length))
      found.set(key, p);
  };
  // A terminal does not offer the other hoses, so nobody can be turned away for asking.
  const places = hoses.flatMap((hose) =>
    terminals.filter((t) => fleet.hoses.get(hose)?.terminals.includes(t)).map((terminal) => ({ hose, terminal })),
  );
  const most = Math.max(1, Math.floor(MOST_TRIED / Math.max(1, places.length)));
  const every = Math.max(1, Math.ceil(stands.length / most));
  for (const [n, stand] of stands.entries()) {
    if (n % every !== 0) continue;
    for (const { hose, terminal } of places) {
      const request = { site, hose, terminal, at, credentials: stand.numbers, pin: 'right' as const, answers };
      const tried = (
        part: Partial<typeof request> & { pin?: 'right' | 'wrong' },
        wrong: { pin: boolean; answer: string | null },
      ) => {
        const d = decide(policy, { ...request, ...part }, NO_USAGE);
        // What still asks for a card or an answer is no end yet.
        if (!d.approved && d.by.says === 'ask') return d;
        keep({
          terminal,
          hose,
          credentials: stand.ids,
          driver: d.driver ?? null,
          vehicle: d.vehicle ?? null,
          wrongPin: wrong.pin,
          wrongAnswer: wrong.answer,
          limit: d.approved ? d.limit : 0,
          rule: d.by.rule,
          shows: showsOf(d, speaking, policy, terminal, hose),
        });
        return d;
      };
      const right = tried({}, { pin: false, answer: null });
      if (!right.approved) continue;
      if (right.steps.some((s) => s.rule === 'pin')) tried({ pin: 'wrong' } as never, { pin: true, answer: null });
      const asked = right.steps.find((s) => s.rule === 'question' && s.on && answers[s.on.id] !== undefined)?.on?.id;
      if (asked !== undefined) tried({ answers: { ...answers, [asked]: '' } }, { pin: false, answer: asked });
    }
  }
  const list = [...found.values()];
  const numbers = new Map<string, number>();
  const sets = list.map((p) =>
    p.shows.map((key) => {
      const n = numbers.get(key) ?? numbers.size;
      numbers.set(key, n);
      return n;
    }),
  );
  const cover = fewestSets(sets, numbers.size);
  const chosen = cover.chosen.map((i) => list[i] as Presentation);
  const wished = [
    ...hoses.flatMap((h) => (fleet.hoses.get(h)?.terminals ?? []).map((t) => `hose ${h} at ${t}`)),
    ...speaking.all,
  ];
  return {
    chosen: chosen.sort(
      (a, b) =>
        terminals.indexOf(a.terminal) - terminals.indexOf(b.terminal) ||
        hoses.indexOf(a.hose) - hoses.indexOf(b.hose) ||
        b.limit - a.limit,
    ),
    fewest: cover.exact && every === 1,
    notNow: wished.filter((key) => !numbers.has(key)),
  };
}

type Decided = ReturnType<typeof decide>;

function showsOf(d: Decided, speaking: Speaking, policy: Policy, terminal: string, hose: string): string[] {
  const shows: string[] = [];
  if (d.approved) {
    shows.push(`hose ${hose} at ${terminal}`, `let in at ${terminal}`);
    for (const c of d.charged) shows.push(`allowance ${c.allowance}`);
  } else {
    shows.push(`turned away at ${terminal}`, `turned away by ${d.by.rule}`);
    if (d.by.on?.table === 'allowances') shows.push(`allowance ${d.by.on.id} turns away`);
  }
  const row = policy.hoses.get(hose)?.row;
  for (const e of speaking.now) {
    if ((e.hose !== null && e.hose !== hose) || (e.product !== null && e.product !== row?.product)) continue;
    const meant = speaking.means(e, d.driver, d.vehicle);
    if (meant && kept(e, d)) shows.push(`expectation ${e.id}`);
  }
  return shows;
}

/** Whether this answer is what the expectation wants of one it speaks of. */
function kept(e: Expectation, d: Decided): boolean {
  const limit = d.approved ? d.limit : 0;
  if (subjectOf(e.who).others) return limit === 0;
  if (e.must === 'can') return limit >= LEAST_USEFUL;
  if (e.must === 'never') return limit === 0;
  return e.must === 'atLeast' ? limit >= (e.quantity ?? 0) && limit > 0 : limit > 0 && limit <= (e.quantity ?? 0);
}

interface Speaking {
  readonly now: readonly Expectation[];
  /** Of every expectation about the site, whether or not of this moment. */
  readonly all: readonly string[];
  means(e: Expectation, driver: string | undefined, vehicle: string | undefined): boolean;
}

function speakingAt(policy: Policy, site: string, at: number): Speaking {
  const { fleet } = policy;
  const zone = policy.sites.get(site)?.zone;
  const local = zone && localMoment(zone, at);
  const about = [...fleet.expectations.values()].filter(
    (e) =>
      (e.site === null || e.site === site) &&
      (e.hose === null || fleet.hoses.get(e.hose)?.site === site) &&
      (e.product === null || [...fleet.hoses.values()].some((h) => h.site === site && h.product === e.product)),
  );
  const now = about.filter((e) => {
    if (!local) return false;
    const date = formatDate(local.day);
    if ((e.from !== null && date < e.from) || (e.until !== null && date > e.until)) return false;
    return within(stretchesOf(e.times), weekdayOf(local.day) * 1440 + local.minute);
  });
  const same = (a: string, b: string) => a.trim().toLowerCase() === b.trim().toLowerCase();
  const of = (e: Expectation, table: 'drivers' | 'vehicles', id: string | undefined): boolean => {
    const row = id === undefined ? undefined : fleet[table].get(id);
    if (!row) return false;
    const { subject } = subjectOf(e.who);
    if (subject === 'everyone') return true;
    if (subject === 'department') return same(row.department, e.whoName);
    if (subject === 'costCentre') return row.costCentre === e.whoName;
    return row.id === e.whoName && table === `${subject}s`;
  };
  return {
    now,
    all: about.map((e) => `expectation ${e.id}`),
    means: (e, driver, vehicle) => {
      const inside = of(e, 'drivers', driver) || of(e, 'vehicles', vehicle);
      return subjectOf(e.who).others ? !inside && (driver !== undefined || vehicle !== undefined) : inside;
    },
  };
}

interface Stand {
  readonly numbers: readonly string[];
  readonly ids: readonly string[];
}

/** One of each kind of credential that no rule and no expectation can tell apart here and now, alone and by twos; and one that nobody has. */
function standIns(policy: Policy, site: string, at: number, speaking: Speaking): Stand[] {
  const zone = policy.sites.get(site)?.zone;
  const day = zone ? localMoment(zone, at).day : 0;
  const numbers = numbering();
  const holderKey = (h: PolicyCard['driver']) => {
    if (h === null || h === undefined) return String(h);
    const good = h.active && day >= h.from && day <= h.until;
    const means = speaking.now.map((e) =>
      Number(speaking.means(e, h.table === 'drivers' ? h.id : undefined, h.table === 'vehicles' ? h.id : undefined)),
    );
    return [
      good,
      h.active,
      numbers(h.terms),
      numbers(h.sites),
      numbers(h.questions),
      h.capacity,
      h.counter,
      means.join(''),
    ].join();
  };
  const kinds = new Map<string, { number: string; card: PolicyCard }>();
  for (const [number, card] of policy.cards) {
    if (card === null) continue;
    const stopped = card.stopped || policy.stopped.has(number);
    const key = `${stopped} ${day < card.from || day > card.until} ${holderKey(card.driver)} ${holderKey(card.vehicle)}`;
    if (!kinds.has(key)) kinds.set(key, { number, card });
  }
  const all = [...kinds.values()];
  let nobody = 1;
  while (policy.cards.has(String(nobody).repeat(4))) nobody++;
  const stands: Stand[] = [{ numbers: [String(nobody).repeat(4)], ids: [UNKNOWN] }];
  for (const { number, card } of all) stands.push({ numbers: [number], ids: [card.id] });
  for (const a of all) {
    if (a.card.driverId === null || a.card.vehicleId !== null) continue;
    for (const b of all)
      if (b.card.vehicleId !== null && b.card.driverId === null)
        stands.push({ numbers: [a.number, b.number], ids: [a.card.id, b.card.id] });
  }
  return stands;
}

function numbering(): (thing: unknown) => number {
  const known = new Map<unknown, number>();
  return (thing) => {
    const n = known.get(thing) ?? known.size;
    known.set(thing, n);
    return n;
  };
}

import { type AnyRow, type Fleet, rowsOf, type TableName } from '../../fleet/index.ts';
import { decide, ruleOf } from '../decide.ts';
import { compile } from '../policy.ts';
import type { Decision, RuleCode, Zones } from '../types.ts';
import { changed, usageAt, zoneOf } from './apply.ts';
import { choicesOf } from './choices.ts';
import type { Change, Remedy, Why, WhyCase } from './types.ts';
import { cardsOf, holdersOf } from './who.ts';

/**
 * What would have had to be different: the smallest sets of changes (of at most `most`, 1 to 3) that make the request approved with at
 * least `wanted` microlitres, each confirmed by `decide`. Exact within `choicesOf`: no smaller set of those changes helps, and every set of
 * the size found is among the answers, but that of several times the earliest stands for all. Pure.
 */
export function why(whole: WhyCase, zones: Zones, wanted = 0, most = 3): Why {
  const choices = choicesOf(whole, wanted, zones);
  const base: WhyCase = { ...whole, fleet: part(whole, choices) };
  const decision = decideCase(base, base, zones);
  let tried = 1;
  const enough = (d: Decision) => d.approved && d.limit >= wanted;
  const answer = { decision, rule: ruleOf(decision), remedies: [] as Remedy[] };
  if (enough(decision)) return { ...answer, tried };
  let open: { changes: readonly Change[]; rule: RuleCode }[] = [{ changes: [], rule: answer.rule }];
  for (let size = 1; size <= most; size++) {
    const found = new Map<string, Remedy>();
    const next = new Map<string, { changes: readonly Change[]; rule: RuleCode }>();
    for (const { changes, rule } of open) {
      for (const choice of choices) {
        // Whatever else changes, the rule that now declines must come out otherwise: only what it looks at can do that.
        if (!TOUCHES[rule].has(kindOf(choice)) || changes.some((c) => clash(c, choice))) continue;
        const set = [...changes, choice].sort((a, b) => choices.indexOf(a) - choices.indexOf(b));
        const key = set.map((c) => choices.indexOf(c)).join();
        if (found.has(key) || next.has(key)) continue;
        const d = decideCase(changed(base, set, zones), base, zones);
        tried++;
        if (enough(d)) found.set(key, { changes: set, decision: d });
        else next.set(key, { changes: set, rule: ruleOf(d) });
      }
    }
    if (found.size > 0) return { ...answer, tried, remedies: earliest([...found.values()]) };
    open = [...next.values()];
  }
  return { ...answer, tried };
}

/** Decides a changed case with the usage as it will be at its own moment. */
export function decideCase(now: WhyCase, base: WhyCase, zones: Zones): Decision {
  return decide(compile(now.fleet, zones), now.request, usageAt(now.usage, zoneOf(base, zones), base.request.at));
}

/** Two changes that cannot both be made: two hoses, two times, two answers, two values of one field that is no list. */
export function clash(a: Change, b: Change): boolean {
  if (a.kind !== b.kind) return false;
  if (a.kind === 'answer' && b.kind === 'answer') return a.question === b.question;
  if (a.kind === 'present' && b.kind === 'present') return a.table === b.table;
  if (a.kind === 'give' && b.kind === 'give') return a.table === b.table && a.id === b.id;
  if (a.kind === 'field' && b.kind === 'field') return a.table === b.table && a.id === b.id && a.field === b.field;
  return true;
}

type Kind = Exclude<Change['kind'], 'field'> | `${Extract<Change, { kind: 'field' }>['table']}`;
const kindOf = (c: Change): Kind => (c.kind === 'field' ? c.table : c.kind);

const set = (...kinds: Kind[]): ReadonlySet<Kind> => new Set(kinds);
const PARTY = set('allowances', 'give', 'hose', 'time', 'link', 'present');
const CARD = set('credentials', 'time', 'present');
const HOLDER = set('drivers', 'vehicles', 'time', 'present');

/** What each rule looks at (SPEC.md): nothing else can change what it says. */
const TOUCHES: Record<RuleCode, ReadonlySet<Kind>> = {
  'site-known': set('sites'),
  'hose-known': set('hoses', 'hose'),
  'hose-terminal': set('hoses', 'hose'),
  'card-known': set('present'),
  'card-stopped': CARD,
  'card-dates': CARD,
  'cards-agree': CARD,
  'holder-active': HOLDER,
  'holder-dates': HOLDER,
  'holder-site': HOLDER,
  identified: set('present'),
  'site-open': set('sites', 'time'),
  pin: set('pin', 'present'),
  question: set('answer', 'present'),
  allowance: set('give', 'present'),
  'allowance-product': PARTY,
  'allowance-site': PARTY,
  'allowance-time': PARTY,
  'allowance-cut-off': PARTY,
  'fills-per-day': PARTY,
  'per-fill': PARTY,
  'per-day': PARTY,
  'per-week': PARTY,
  'per-month': PARTY,
  'hose-most': set('hoses', 'hose'),
  'vehicle-tank': set('vehicles', 'present'),
};

/** Of remedies that differ in the time alone, the earliest: times are tried in their order. */
function earliest(remedies: readonly Remedy[]): Remedy[] {
  const out = new Map<string, Remedy>();
  for (const r of remedies) {
    const key = JSON.stringify(r.changes.map((c) => (c.kind === 'time' ? 'time' : c)));
    if (!out.has(key)) out.set(key, r);
  }
  return [...out.values()];
}

/** The rows of the fleet that the request and the choices can look at: a decision comes out the same from them (SPEC D25). */
function part({ fleet, request }: WhyCase, choices: readonly Change[]): Fleet {
  const given = choices.filter((c) => c.kind === 'present');
  const numbers = new Set([...request.credentials, ...given.map((c) => c.number)]);
  const cards = [...fleet.credentials.values()].filter((c) => numbers.has(c.number));
  const holders = holdersOf(fleet, [...cards, ...cardsOf(fleet, [...numbers])]);
  const ids = (table: string) => new Set(holders.filter((h) => h.table === table).map((h) => h.row.id));
  const keep = (table: TableName, has: (row: AnyRow) => boolean) =>
    new Map([...rowsOf(fleet, table)].filter(([, row]) => has(row)));
  const [drivers, vehicles] = [ids('drivers'), ids('vehicles')];
  const allowances = new Set(holders.flatMap((h) => h.row.allowances));
  for (const c of choices) if (c.kind === 'give') allowances.add(c.allowance);
  return {
    ...fleet,
    sites: keep('sites', (r) => r.id === request.site),
    hoses: keep('hoses', (r) => r.site === request.site || r.id === request.hose),
    credentials: new Map(cards.map((c) => [c.id, c])),
    drivers: keep('drivers', (r) => drivers.has(r.id)),
    vehicles: keep('vehicles', (r) => vehicles.has(r.id)),
    allowances: keep('allowances', (r) => allowances.has(r.id)),
  } as unknown as Fleet;
}

import { type AnyRow, type Fleet, rowsOf, type TableName } from '../../fleet/index.ts';
import { decide, ruleOf } from '../decide.ts';
import { compile, type Policy } from '../policy.ts';
import { revise } from '../revise.ts';
import type { Decision, RuleCode, Zones } from '../types.ts';
import { changed, usageAt, zoneOf } from './apply.ts';
import { choicesOf } from './choices.ts';
import type { Change, Remedy, Why, WhyCase } from './types.ts';
import { holdersOf } from './who.ts';

/**
 * What would have had to be different: the smallest sets of changes (of at most `most`, 1 to 3) that make the request approved with at
 * least `wanted` microlitres, each confirmed by `decide`. Exact within `choicesOf`: no smaller set of those changes helps, and every set of
 * the size found is among the answers, but that of several times the earliest stands for all, and of several who could be presented the first. Pure.
 */
export function why(whole: WhyCase, zones: Zones, wanted = 0, most = 3): Why {
  const decision = decideCase(whole, whole, zones);
  const enough = (d: Decision) => d.approved && d.limit >= wanted;
  const answer = { decision, rule: ruleOf(decision) };
  if (enough(decision)) return { ...answer, remedies: [] };
  const choices = choicesOf(whole, wanted, zones);
  const decideWith = deciding({ ...whole, fleet: part(whole, choices) }, choices, zones);
  let open: { set: readonly number[]; rule: RuleCode }[] = [{ set: [], rule: answer.rule }];
  for (let size = 1; size <= most; size++) {
    const tried = new Set<string>();
    const found: Remedy[] = [];
    const next: typeof open = [];
    for (const { set, rule } of open) {
      choices.forEach((choice, n) => {
        // Whatever else changes, the rule that now declines must come out otherwise: only what it looks at can do that.
        if (!TOUCHES[rule].has(kindOf(choice)) || set.some((m) => clash(choices[m] as Change, choice))) return;
        const grown = [...set, n].sort((x, y) => x - y);
        const key = grown.join();
        if (tried.has(key)) return;
        tried.add(key);
        const d = decideWith(grown);
        if (enough(d)) found.push({ changes: grown.map((m) => choices[m] as Change), decision: d });
        else next.push({ set: grown, rule: ruleOf(d) });
      });
    }
    if (found.length > 0) return { ...answer, remedies: oneForAll(earliest(found)) };
    open = next;
  }
  return { ...answer, remedies: [] };
}

/** Decides a changed case with the usage as it will be at its own moment. */
export const decideCase = (now: WhyCase, base: WhyCase, zones: Zones): Decision =>
  decide(compile(now.fleet, zones), now.request, usageAt(now.usage, zoneOf(base, zones), base.request.at));

/** Decides with some of the choices made, by their places. A fleet edited alike is made ready once, whatever else is chosen. */
function deciding(base: WhyCase, choices: readonly Change[], zones: Zones): (set: readonly number[]) => Decision {
  const zone = zoneOf(base, zones);
  const was = compile(base.fleet, zones);
  const ready = new Map<string, Policy>();
  const edits = (n: number) => ['field', 'give'].includes((choices[n] as Change).kind);
  const choose = (of: WhyCase, set: readonly number[]) =>
    changed(
      of,
      set.map((n) => choices[n] as Change),
      zones,
    );
  const madeOf = (edited: readonly number[]) => {
    const { fleet } = choose(base, edited);
    return revise(was, fleet, zones) ?? compile(fleet, zones);
  };
  return (set) => {
    const edited = set.filter(edits);
    const key = edited.join();
    const policy = ready.get(key) ?? madeOf(edited);
    ready.set(key, policy);
    const asked = set.filter((n) => !edits(n));
    const { request, usage } = choose(base, asked);
    return decide(policy, request, usageAt(usage, zone, base.request.at));
  };
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

/** Of remedies that differ in who is presented alone, the first, with how many others would do as well. */
function oneForAll(remedies: readonly Remedy[]): Remedy[] {
  const out = new Map<string, Remedy>();
  for (const r of remedies) {
    const last = r.changes.findLast((c) => c.kind === 'present');
    const key = JSON.stringify(r.changes.map((c) => (c === last ? c.table : c)));
    const had = out.get(key);
    const more = last === undefined ? 0 : 1 + last.alike;
    const sum = (c: Change) => (c.kind === 'present' && c.table === last?.table ? { ...c, alike: c.alike + more } : c);
    out.set(key, had ? { ...had, changes: had.changes.map(sum) } : r);
  }
  return [...out.values()];
}

/** The rows of the fleet that the request and the choices can look at: a decision comes out the same from them (SPEC D25). */
function part({ fleet, request }: WhyCase, choices: readonly Change[]): Fleet {
  const numbers = new Set(request.credentials);
  for (const c of choices) if (c.kind === 'present') numbers.add(c.number);
  const cards = [...fleet.credentials.values()].filter((c) => numbers.has(c.number));
  const holders = holdersOf(fleet, cards);
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

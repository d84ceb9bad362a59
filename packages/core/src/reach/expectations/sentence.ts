import { LEAST_USEFUL, type Policy, type PolicyHose } from '../../decide/index.ts';
import type { Expectation } from '../../fleet/index.ts';
import { parseDate } from '../../units/index.ts';

/** Holders by id: those named, or all but those named. */
export interface Pick {
  readonly ids: ReadonlySet<string>;
  readonly but: boolean;
}

export const EVERY: Pick = { ids: new Set(), but: true };

export const has = (pick: Pick, id: string): boolean => pick.ids.has(id) !== pick.but;

/** Who stands at a point: a driver of these and a vehicle of those; null is nobody. */
export interface Crossing {
  readonly drivers: Pick | null;
  readonly vehicles: Pick | null;
}

interface Asked {
  /** A point counts from this many microlitres on. */
  readonly least: number;
  readonly hoses: readonly PolicyHose[];
  readonly from: number | null;
  readonly until: number | null;
}

/** An expectation with its words looked up: at no point of the crossings, or for each of these at every minute (SPEC E5 to E8). */
export type Sentence = Asked &
  (
    | { readonly asks: 'never'; readonly crossings: readonly Crossing[] }
    | { readonly asks: 'always'; readonly kind: 'drivers' | 'vehicles'; readonly ids: readonly string[] }
  );

/** Why an expectation cannot be read, by the field to mend (SPEC E9). */
export interface Unread {
  readonly field: keyof Expectation;
  readonly why: 'not-there' | 'nobody' | 'no-hose' | 'no-quantity' | 'dates' | 'times' | 'nobody-but';
}

/** The subject of each kind of who, and whether it is of everybody else. */
const SUBJECT = {
  everyone: ['everyone', false],
  driver: ['driver', false],
  vehicle: ['vehicle', false],
  department: ['department', false],
  costCentre: ['costCentre', false],
  nobodyBut: ['department', true],
  nobodyButCostCentre: ['costCentre', true],
  nobodyButDriver: ['driver', true],
  nobodyButVehicle: ['vehicle', true],
} as const satisfies Record<Expectation['who'], readonly [string, boolean]>;

export type Subject = (typeof SUBJECT)[Expectation['who']][0];
export const subjectOf = (who: Expectation['who']): { subject: Subject; others: boolean } => ({
  subject: SUBJECT[who][0],
  others: SUBJECT[who][1],
});

const sameDepartment = (text: string): string => text.trim().replace(/\s+/g, ' ').toLowerCase();

/** What sentences look up in a fleet, gathered once for all of them. */
export class Lookup {
  readonly policy: Policy;
  private readonly groups = new Map<string, Group>();
  private readonly departments = new Map<string, string>();
  private readonly hosesOf = new Map<string, PolicyHose[]>();
  private readonly allHoses: readonly PolicyHose[];

  constructor(policy: Policy) {
    this.policy = policy;
    const group = (key: string) => {
      let g = this.groups.get(key);
      if (!g) {
        g = { drivers: [], vehicles: [], active: [[], []], picks: new Map() };
        this.groups.set(key, g);
      }
      return g;
    };
    const everyone = group('everyone');
    const departments = new Map<string, Group | null>();
    const costCentres = new Map<string, Group>();
    for (const table of ['drivers', 'vehicles'] as const) {
      const put = (g: Group, { id, active }: { readonly id: string; readonly active: boolean }) => {
        g[table].push(id);
        if (active) g.active[table === 'drivers' ? 0 : 1].push(id);
      };
      for (const row of policy.fleet[table].values()) {
        put(everyone, row);
        let of = departments.get(row.department);
        if (of === undefined) {
          const department = this.department(row.department);
          of = department === '' ? null : group(`department ${department}`);
          departments.set(row.department, of);
        }
        if (of) put(of, row);
        if (row.costCentre === null) continue;
        const centre = costCentres.get(row.costCentre) ?? group(`costCentre ${row.costCentre}`);
        costCentres.set(row.costCentre, centre);
        put(centre, row);
      }
    }
    this.allHoses = [...policy.hoses.values()].filter((h) => h.site !== undefined);
    for (const hose of this.allHoses) {
      for (const key of [`site ${hose.row.site}`, `product ${hose.row.product}`]) {
        const list = this.hosesOf.get(key);
        if (list) list.push(hose);
        else this.hosesOf.set(key, [hose]);
      }
    }
  }

  /** A department's name as it is compared. */
  department(text: string): string {
    let same = this.departments.get(text);
    if (same === undefined) {
      same = sameDepartment(text);
      this.departments.set(text, same);
    }
    return same;
  }

  /** Everybody of a department, cost centre or the whole fleet. */
  group(subject: Subject, name: string) {
    const key = subject === 'department' ? `department ${sameDepartment(name)}` : `${subject} ${name}`;
    return this.groups.get(subject === 'everyone' ? 'everyone' : key);
  }

  hoses({ product, site, hose }: Expectation): readonly PolicyHose[] {
    if (hose !== null) {
      const one = this.policy.hoses.get(hose);
      const fits =
        one?.site && (site === null || one.row.site === site) && (product === null || one.row.product === product);
      return fits ? [one] : [];
    }
    if (site === null) return product === null ? this.allHoses : (this.hosesOf.get(`product ${product}`) ?? []);
    const there = this.hosesOf.get(`site ${site}`) ?? [];
    return product === null ? there : there.filter((h) => h.row.product === product);
  }
}

/** Looks the words of an expectation up in the fleet. */
export function sentenceOf(row: Expectation, look: Lookup): Sentence | Unread {
  const { fleet } = look.policy;
  const { subject, others } = subjectOf(row.who);
  const group = look.group(subject, row.whoName);
  const known =
    subject === 'driver'
      ? fleet.drivers.has(row.whoName)
      : subject === 'vehicle'
        ? fleet.vehicles.has(row.whoName)
        : subject === 'costCentre'
          ? fleet.costCentres.has(row.whoName)
          : group !== undefined;
  if (!known) return { field: 'whoName', why: 'not-there' };
  if (row.product !== null && !fleet.products.has(row.product)) return { field: 'product', why: 'not-there' };
  if (row.site !== null && !fleet.sites.has(row.site)) return { field: 'site', why: 'not-there' };
  if (row.hose !== null && !fleet.hoses.has(row.hose)) return { field: 'hose', why: 'not-there' };
  if (row.times?.every((w) => w.days.length === 0)) return { field: 'times', why: 'times' };
  const [from, until] = [dayOf(row.from), dayOf(row.until)];
  if (until !== null && until < (from ?? until)) return { field: 'until', why: 'dates' };
  const { must, quantity } = row;
  const counted = must === 'atLeast' || must === 'atMost';
  if (counted && (quantity === null || (must === 'atLeast' && quantity === 0)))
    return { field: 'quantity', why: 'no-quantity' };
  const never = must === 'never' || must === 'atMost';
  if (others && never) return { field: 'must', why: 'nobody-but' };
  // More than N is what offends 'at most N'.
  const bound = counted ? (quantity ?? 0) + (must === 'atMost' ? 1 : 0) : 0;
  const asked = { least: Math.max(bound, LEAST_USEFUL), hoses: look.hoses(row), from, until };
  if (never || others) return { ...asked, asks: 'never', crossings: crossingsOf(subject, others, row.whoName, group) };
  if (asked.hoses.length === 0) return { field: row.hose === null ? 'product' : 'hose', why: 'no-hose' };
  if (subject === 'driver') return { ...asked, asks: 'always', kind: 'drivers', ids: [row.whoName] };
  if (subject === 'vehicle') return { ...asked, asks: 'always', kind: 'vehicles', ids: [row.whoName] };
  const [people, machines] = group?.active ?? [[], []];
  if (people.length > 0) return { ...asked, asks: 'always', kind: 'drivers', ids: people };
  if (machines.length > 0 && subject !== 'everyone')
    return { ...asked, asks: 'always', kind: 'vehicles', ids: machines };
  return { field: subject === 'everyone' ? 'who' : 'whoName', why: 'nobody' };
}

const dayOf = (date: string | null): number | null => parseDate(date ?? '') ?? null;

interface Group {
  readonly drivers: string[];
  readonly vehicles: string[];
  readonly active: [drivers: string[], vehicles: string[]];
  /** One for all sentences about them, so that what is worked out of it is shared: by whether it is of all others. */
  readonly picks: Map<boolean, readonly [drivers: Pick, vehicles: Pick]>;
}

function picksOf(group: Group | undefined, but: boolean): readonly [drivers: Pick, vehicles: Pick] {
  let picks = group?.picks.get(but);
  if (!picks) {
    const of = (ids: readonly string[] = []): Pick => ({ ids: new Set(ids), but });
    picks = [of(group?.drivers), of(group?.vehicles)];
    group?.picks.set(but, picks);
  }
  return picks;
}

function crossingsOf(subject: Subject, others: boolean, name: string, group: Group | undefined): Crossing[] {
  const these = (ids: readonly string[]): Pick => ({ ids: new Set(ids), but: others });
  const at = (drivers: Pick | null, vehicles: Pick | null): Crossing => ({ drivers, vehicles });
  if (subject === 'everyone') return [at(EVERY, null), at(null, EVERY), at(EVERY, EVERY)];
  if (subject === 'driver') {
    const picked = these([name]);
    const pairs = [at(picked, null), at(picked, EVERY)];
    return others ? [at(null, EVERY), ...pairs] : pairs;
  }
  if (subject === 'vehicle') {
    const picked = these([name]);
    const pairs = [at(null, picked), at(EVERY, picked)];
    return others ? [at(EVERY, null), ...pairs] : pairs;
  }
  const [drivers, vehicles] = picksOf(group, others);
  const pairs = [at(null, vehicles), at(drivers, null), at(drivers, EVERY)];
  return others ? pairs : [...pairs, at(EVERY, vehicles)];
}

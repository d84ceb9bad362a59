import type { Fleet, Stretch } from '../fleet/index.ts';
import type { Section, Some } from './cut.ts';

/** Whom and what somebody asks about; null is no matter. A driver and a vehicle are the two together, one of them comes alone or with anybody. */
export interface Narrowing {
  readonly driver: string | null;
  readonly vehicle: string | null;
  /** Whoever is of it in either fleet, alone or with anybody. */
  readonly department: string | null;
  readonly hoses: ReadonlySet<string> | null;
  readonly product: string | null;
  /** A stretch of the week. */
  readonly span: Stretch | null;
}

export const NARROWED_TO_NOTHING: Narrowing = {
  driver: null,
  vehicle: null,
  department: null,
  hoses: null,
  product: null,
  span: null,
};

/** The sections of a difference that it speaks of; they share no point. */
export function sectionsOf(before: Fleet, after: Fleet, to: Narrowing): Section[] {
  const { driver, vehicle, department, hoses, product, span } = to;
  const where = { hoses, product, span };
  const one = (id: string | null): Some | null => (id === null ? null : { only: new Set([id]) });
  if (department === null) return [{ drivers: one(driver), vehicles: one(vehicle), ...where }];
  const of = (table: 'drivers' | 'vehicles') => {
    const rows = [...before[table].values(), ...after[table].values()];
    return new Set(rows.filter((row) => row.department === department).map((row) => row.id));
  };
  const [drivers, vehicles] = [of('drivers'), of('vehicles')];
  return [
    { drivers: { only: drivers }, vehicles: null, ...where },
    { drivers: { but: drivers }, vehicles: { only: vehicles }, ...where },
  ];
}

/** Whoever a credential names, or named, as it names them: one alone or with anybody, or two together. */
export function sectionsOfCredential(before: Fleet, after: Fleet, id: string): Section[] {
  const [drivers, vehicles, pairs] = [new Set<string>(), new Set<string>(), new Map<string, [string, string]>()];
  for (const fleet of [before, after]) {
    const { driver = null, vehicle = null } = fleet.credentials.get(id) ?? {};
    if (driver !== null && vehicle !== null) pairs.set(`${driver} ${vehicle}`, [driver, vehicle]);
    else if (driver !== null) drivers.add(driver);
    else if (vehicle !== null) vehicles.add(vehicle);
  }
  const everywhere = { hoses: null, product: null, span: null };
  const sections: Section[] = [];
  if (drivers.size > 0) sections.push({ drivers: { only: drivers }, vehicles: null, ...everywhere });
  if (vehicles.size > 0) sections.push({ drivers: { but: drivers }, vehicles: { only: vehicles }, ...everywhere });
  for (const [driver, vehicle] of pairs.values())
    if (!drivers.has(driver) && !vehicles.has(vehicle))
      sections.push({ drivers: { only: new Set([driver]) }, vehicles: { only: new Set([vehicle]) }, ...everywhere });
  return sections;
}

import type { Policy } from '../decide/index.ts';
import { type Days, holds } from './days.ts';

type Card = { readonly number: string; readonly days: Days };
const cards = new WeakMap<Policy, ReadonlyMap<string, readonly Card[]>>();
const keyOf = (driver: string | null, vehicle: string | null) => `${driver ?? ''} ${vehicle ?? ''}`;

/** Credentials that are neither stopped nor ambiguous, by whom they name: worked out once for a policy. */
function cardsOf(policy: Policy): ReadonlyMap<string, readonly Card[]> {
  const known = cards.get(policy);
  if (known) return known;
  const by = new Map<string, Card[]>();
  for (const [number, card] of policy.cards) {
    if (!card || card.stopped || policy.stopped.has(number)) continue;
    const key = keyOf(card.driverId, card.vehicleId);
    const one = { number, days: [card.from, card.until] };
    const had = by.get(key);
    if (had) had.push(one);
    else by.set(key, [one]);
  }
  cards.set(policy, by);
  return by;
}

/** Numbers that present exactly these on a day: one that names both, or one of each; fewer where the roster has none that is good. */
export function cardsFor(policy: Policy, driver: string | null, vehicle: string | null, day: number): string[] {
  const find = (d: string | null, v: string | null) =>
    cardsOf(policy)
      .get(keyOf(d, v))
      ?.find((c) => holds(c.days, day))?.number;
  if (driver !== null && vehicle !== null) {
    const both = find(driver, vehicle);
    if (both !== undefined) return [both];
  }
  return [driver === null ? undefined : find(driver, null), vehicle === null ? undefined : find(null, vehicle)].filter(
    (n) => n !== undefined,
  );
}

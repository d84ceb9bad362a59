import { askOf, compile, type DecisionRequest, decide, NO_USAGE } from '@fillwright/core/decide';
import type { Fleet } from '@fillwright/core/fleet';
import { zoneTable } from '@fillwright/core/units';
import { demoPin } from '@fillwright/sim';

/** Somebody of the invented fleet whom a site serves now, so that a person can try its terminal by hand. */
export interface Welcome {
  readonly name: string;
  readonly cards: readonly string[];
  readonly pin: string;
  readonly hose: number;
}

export function welcomeAt(fleet: Fleet, site: string, at: number): Welcome | undefined {
  const policy = compile(fleet, (zone) => zoneTable(zone));
  const credentials = [...fleet.credentials.values()];
  const people = credentials.filter((c) => c.driver !== null);
  const partners = [undefined, ...credentials.filter((c) => c.driver === null)];
  for (const hose of fleet.hoses.values()) {
    if (hose.site !== site) continue;
    for (const person of people) {
      for (const partner of partners) {
        const cards = [person.number, ...(partner ? [partner.number] : [])];
        const request: DecisionRequest = { site, hose: hose.id, at, credentials: cards, pin: 'right', answers: {} };
        const decision = decide(policy, request, NO_USAGE);
        if (!decision.approved && askOf(decision)?.ask !== 'question') continue;
        const driver = person.driver ?? '';
        return { name: fleet.drivers.get(driver)?.name ?? driver, cards, pin: demoPin(driver), hose: hose.number };
      }
    }
  }
  return undefined;
}

export const welcomeText = (w: Welcome): string =>
  `Try it by hand: present ${w.cards.join(', then ')} (${w.name}), PIN ${w.pin}, hose ${w.hose}.`;

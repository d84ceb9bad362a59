import { compile } from '@fillwright/core/decide';
import { type Edit, type Expectation, type Fleet, newRow } from '@fillwright/core/fleet';
import { checkExpectations, reachTable, type Verdict } from '@fillwright/core/reach';
import { parseDate, zoneTable } from '@fillwright/core/units';
import { put, yard } from './yard.ts';

/** A Monday. */
export const TODAY = parseDate('2026-11-30') as number;

/** The verdicts on expectations about so many days from a day, and what was told on the way. */
export function checked(fleet: Fleet, rows: readonly Expectation[], days = 400, from = TODAY) {
  const policy = compile(fleet, (zone) => zoneTable(zone, 2025, 2029));
  const steps = checkExpectations(reachTable(policy, [from, from + days - 1]), rows);
  const told: { done: number; of: number }[] = [];
  for (;;) {
    const step = steps.next();
    if (step.done) return { verdicts: step.value, told };
    told.push(step.value);
  }
}

/** 'Everyone can draw something', or as the fields say. */
export const wish = (fields: Partial<Expectation>, id = 'e'): Expectation =>
  newRow('expectations', { id, who: 'everyone', must: 'can', ...fields });

export const verdictOn = (fields: Partial<Expectation>, fleet = yard(), days = 400, from = TODAY): Verdict =>
  checked(fleet, [wish(fields)], days, from).verdicts.get('e') as Verdict;

/** What a hose at the yard's pump has, beside where it is and its number. */
export const DIESEL_HOSE = { island: 'island-1', pump: 'pump-diesel', terminals: ['terminal-1'], product: 'diesel' };

/** Another site, with one hose of a product, `hose-ID`. */
export const otherSite = (id: string, product: string, more: Record<string, unknown> = {}): Edit[] => [
  put('sites', { id, name: id, zone: 'UTC', ...more }),
  put('islands', { id: `island-${id}`, site: id, name: 'Island' }),
  put('tanks', { id: `tank-${id}`, site: id, name: 'Tank', product }),
  put('pumps', { id: `pump-${id}`, site: id, name: 'Pump', tanks: [`tank-${id}`] }),
  put('terminals', { id: `terminal-${id}`, site: id, island: `island-${id}`, name: 'Terminal' }),
  put('hoses', {
    id: `hose-${id}`,
    site: id,
    number: 1,
    channel: 1,
    island: `island-${id}`,
    pump: `pump-${id}`,
    terminals: [`terminal-${id}`],
    product,
  }),
];

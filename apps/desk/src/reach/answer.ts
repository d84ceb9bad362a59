import { type AnyRow, emptyFleet, type Fleet } from '@fillwright/core/fleet';
import {
  checkExpectations,
  hereOf,
  type LiveDifference,
  NARROWED_TO_NOTHING,
  type Narrowing,
  narrowed,
  sectionsOf,
  sectionsOfCredential,
  type Table,
} from '@fillwright/core/reach';
import { takePart } from '../data/findings-message.ts';
import { behindOf, comparedOf } from './compared.ts';
import { driven, halfOf, type Say } from './driven.ts';
import { Kept } from './kept.ts';
import type { About, Ask, FromReach, ToReach } from './message.ts';
import { namesAt } from './names.ts';
import { decides, type Told, toldOf } from './told.ts';

/** Takes in one message after another; where one asks something, says how far it is and then the answer. */
export function answering(): (message: ToReach, say: Say) => Promise<void> {
  const kept = new Kept();
  const rows: Record<string, Map<string, AnyRow>> = {};
  /** Tables that changed since the last question: what was made from the maps of before keeps those. */
  const fresh = new Set<string>();
  return async ({ settings, part, ask }, say) => {
    if (part) {
      if (!fresh.has(part.table)) rows[part.table] = new Map(rows[part.table]);
      fresh.add(part.table);
      takePart(rows, part);
    }
    if (!ask) return;
    const edited = fresh.size > 0;
    fresh.clear();
    const fleet = { ...emptyFleet(settings), ...rows } as unknown as Fleet;
    say(await answer(ask, kept.draftOf(fleet, ask.today, edited), kept, say));
  };
}

async function answer(ask: Ask, draft: Table, kept: Kept, say: Say): Promise<FromReach> {
  switch (ask.kind) {
    case 'here':
      return { kind: 'here', here: driven(hereOf(draft, ask.place), say) };
    case 'names':
      return { kind: 'names', names: namesAt(draft, ask.place, ask.hose, ask.minute) };
    case 'expectations': {
      const list = [...draft.policy.fleet.expectations.values()];
      return { kind: 'expectations', verdicts: driven(checkExpectations(draft, list), say) };
    }
    case 'change': {
      const { since, about } = ask;
      const live = await kept.since(since, draft, say);
      if (typeof live === 'string') return { kind: 'failed', sentence: live };
      if (about === null) return { kind: 'change', told: toldOf(live.difference(), live.before, draft, { since }) };
      return { kind: 'change', told: aboutOf(live, about, since) };
    }
    case 'compare':
    case 'behind': {
      const two = await kept.two(ask.pair, draft, halfOf(say, 0));
      if (typeof two === 'string') return { kind: 'failed', sentence: two };
      const { live, sites } = two;
      const since = ask.pair.kind === 'fleets' && typeof ask.pair.before === 'number' ? ask.pair.before : null;
      const rest = halfOf(say, 1);
      return ask.kind === 'behind'
        ? { kind: 'behind', told: driven(behindOf(live, ask, since, sites), rest) }
        : { kind: 'compare', compared: driven(comparedOf(live, ask.within, since, sites), rest) };
    }
  }
}

/** Beside an edited record only the largest groups of each kind are shown. */
const MOST_BESIDE = 6;

function aboutOf(live: LiveDifference, { table, id }: About, since: number | null): Told {
  const { before, after } = live;
  const options = { since, most: MOST_BESIDE };
  if (table === 'allowances') return toldOf(live.difference(), before, after, { ...options, only: decides(id, after) });
  if (table === 'products')
    return toldOf(live.difference(), before, after, { ...options, only: (group) => group.product === id });
  const [old, next] = [before.policy.fleet, after.policy.fleet];
  const found = driven(narrowed(live, sectionsAbout(old, next, table, id)), () => {});
  return toldOf(found, before, after, options);
}

function sectionsAbout(
  old: Fleet,
  next: Fleet,
  table: Exclude<About['table'], 'allowances' | 'products'>,
  id: string,
): ReturnType<typeof sectionsOf> {
  if (table === 'credentials') return sectionsOfCredential(old, next, id);
  const to = (part: Partial<Narrowing>) => sectionsOf(old, next, { ...NARROWED_TO_NOTHING, ...part });
  if (table === 'drivers') return to({ driver: id });
  if (table === 'vehicles') return to({ vehicle: id });
  if (table === 'hoses') return to({ hoses: new Set([id]) });
  const at = (fleet: Fleet) => [...fleet.hoses.values()].filter((h) => h.site === id).map((h) => h.id);
  return to({ hoses: new Set([...at(old), ...at(next)]) });
}

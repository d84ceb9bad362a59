import type { Fleet } from '@fillwright/core/fleet';
import { parseDate } from '@fillwright/core/units';
import { useDeferredValue } from 'react';
import { useToday } from '../../data/clock.ts';
import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { useWhere } from '../../data/where.ts';
import { whoIn } from '../../field/who-choice.tsx';
import { Mark } from '../../look/marks.tsx';
import type { Pair, Version, Within } from '../../reach/message.ts';
import { useCompared } from '../../reach/use-reach.ts';
import { Going } from '../../show/going.tsx';
import { AtSites } from './at-sites.tsx';
import { Choose } from './choose.tsx';
import { Columns } from './columns.tsx';
import { Weeks } from './week-of-change.tsx';
import { pairSaid, summary } from './words.ts';
import './compare.css';

type Where = Readonly<Record<string, string | undefined>>;

/** Any two set side by side: who can draw at one and not at the other. */
export default function ComparePage() {
  const { fleet, base } = useDraft();
  const later = useDeferredValue(fleet);
  const [where, change] = useWhere();
  const today = parseDate(useToday()) ?? 0;
  const releases = useAsk('releases', {}).data ?? [];
  const pair = pairIn(where, fleet, base);
  const within = withinIn(where);
  const asks = pair !== null && (pair.kind === 'fleets' ? pair.before !== pair.after : pair.first !== pair.second);
  const worked = useCompared(later, today, asks ? { pair, within } : null);
  const { answer, working, stopped } = worked;
  const compared = asks && answer?.kind === 'compare' ? answer.compared : undefined;
  const sites = pair?.kind === 'sites' ? ([nameIn(fleet, pair.first), nameIn(fleet, pair.second)] as const) : undefined;
  return (
    <div className="page">
      <div className="page-head">
        <h1>Compare</h1>
        <Going worked={worked} quickly={compared !== undefined} />
      </div>
      <p className="quiet">
        Who can draw with the one and not with the other, over a year, at most: PIN and answers are taken as right,
        nothing as drawn before.
      </p>
      <Choose {...{ fleet, where, change, releases, base }} />
      <p role="status" className="small quiet">
        {!asks
          ? 'The two are the same: choose two different ones.'
          : stopped
            ? 'Stopped: nothing has been compared.'
            : working && !compared
              ? `Comparing ${pairSaid(fleet, pair)} …`
              : compared
                ? summary(fleet, pair, within, compared)
                : ''}
      </p>
      {answer?.kind === 'failed' && <Mark is="error">{answer.sentence}</Mark>}
      {compared && !stopped && (
        <>
          <Columns compared={compared} sites={sites} />
          {pair && (
            <Weeks
              key={JSON.stringify([pair, within])}
              weeks={compared.weeks}
              {...{ sites }}
              asked={{ fleet: later, today, pair, within }}
            />
          )}
          <AtSites sites={compared.sites} />
        </>
      )}
    </div>
  );
}

const nameIn = (fleet: Fleet, site: string): string => fleet.sites.get(site)?.name ?? site;

/** What is compared, out of the address; null where there are not two. */
function pairIn(where: Where, fleet: Fleet, base: number | null): Pair | null {
  if (where.pair === 'sites') {
    const ids = [...fleet.sites.keys()];
    const first = where.first ?? ids[0];
    const second = where.second ?? ids.find((id) => id !== first);
    if (first === undefined || second === undefined) return null;
    return { kind: 'sites', of: versionIn(where.of, 'draft'), first, second };
  }
  return { kind: 'fleets', before: versionIn(where.before, base), after: versionIn(where.after, 'draft') };
}

function versionIn(text: string | undefined, otherwise: Version): Version {
  if (text === 'draft') return 'draft';
  if (text === 'nothing') return null;
  return text !== undefined && /^\d{1,9}$/.test(text) ? Number(text) : otherwise;
}

const withinIn = (where: Where): Within => ({
  ...whoIn(where),
  site: where.pair === 'sites' ? null : (where.site ?? null),
  product: where.product ?? null,
});

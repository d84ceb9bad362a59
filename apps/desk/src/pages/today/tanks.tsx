import { unitOf } from '@fillwright/core/fleet';
import { useDraft } from '../../data/draft.ts';
import { useTankVerdicts } from '../../data/tank-verdicts.ts';
import { nameOf } from '../../data/where.ts';
import { plural } from '../../show/amounts.ts';
import { NEXT, tankSaid } from '../../show/stock-words.ts';
import { ToLookAt } from './to-look-at.tsx';

/** Tanks that lose or gain fuel, or whose readings cannot tell; nothing where every tank passes. */
export function TroubledTanks() {
  const { fleet } = useDraft();
  const unit = unitOf(fleet.settings);
  const troubled = (useTankVerdicts().data?.tanks ?? [])
    .map((v) => ({ v, said: tankSaid(v, unit), tank: fleet.tanks.get(v.tank) }))
    .filter(({ said, tank }) => said.length > 0 && tank)
    .sort((a, b) => Number(b.said[0]?.is === 'error') - Number(a.said[0]?.is === 'error'));
  return (
    <ToLookAt
      id="today-tanks"
      is={troubled[0]?.said[0]?.is ?? 'warning'}
      heading={`${plural(troubled.length, 'tank')} to look at`}
      page="/tanks"
      way="Look at the tanks"
      noted={troubled.map(({ v, said, tank }) => ({
        key: v.tank,
        search: { tank: v.tank },
        words: `${tank?.name}, ${nameOf(fleet, 'sites', tank?.site ?? '')}: ${said.map((s) => s.words).join(', ')}`,
        below: v.verdict !== null && v.verdict !== 'pass' ? NEXT[v.verdict] : undefined,
      }))}
    />
  );
}

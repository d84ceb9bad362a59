import { unitOf } from '@fillwright/core/fleet';
import { Link } from '@tanstack/react-router';
import { useDraft } from '../../data/draft.ts';
import { useTankVerdicts } from '../../data/tank-verdicts.ts';
import { nameOf } from '../../data/where.ts';
import { Mark } from '../../look/marks.tsx';
import { plural } from '../../show/amounts.ts';
import { NEXT, tankSaid } from '../../show/stock-words.ts';

/** Tanks that lose or gain fuel, or whose readings cannot tell; nothing where every tank passes. */
export function TroubledTanks() {
  const { fleet } = useDraft();
  const unit = unitOf(fleet.settings);
  const troubled = (useTankVerdicts().data?.tanks ?? [])
    .map((v) => ({ v, said: tankSaid(v, unit), tank: fleet.tanks.get(v.tank) }))
    .filter(({ said, tank }) => said.length > 0 && tank)
    .sort((a, b) => Number(b.said[0]?.is === 'error') - Number(a.said[0]?.is === 'error'));
  if (troubled.length === 0) return null;
  return (
    <section className="panel stack" aria-labelledby="today-tanks">
      <div className="spread">
        <h2 id="today-tanks">
          <Mark is={troubled[0]?.said[0]?.is ?? 'warning'}>{plural(troubled.length, 'tank')} to look at</Mark>
        </h2>
        <Link to="/tanks" search={{}}>
          Look at the tanks
        </Link>
      </div>
      <ul className="today-flags">
        {troubled.map(({ v, said, tank }) => (
          <li key={v.tank}>
            <Link to="/tanks" search={{ tank: v.tank }}>
              {tank?.name}, {nameOf(fleet, 'sites', tank?.site ?? '')}: {said.map((s) => s.words).join(', ')}
            </Link>
            {v.verdict !== null && v.verdict !== 'pass' && <div className="small quiet">{NEXT[v.verdict]}</div>}
          </li>
        ))}
      </ul>
    </section>
  );
}

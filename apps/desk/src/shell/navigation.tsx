import { Link } from '@tanstack/react-router';
import { type ReactNode, useMemo } from 'react';
import { useDraftState } from '../data/draft.ts';
import { useFindings } from '../data/findings.ts';
import { useAsk } from '../data/hub.ts';
import { useTankVerdicts } from '../data/tank-verdicts.ts';
import { Mark, type Severity } from '../look/marks.tsx';
import { PAGES } from '../pages.ts';
import { tankSaid } from '../show/stock-words.ts';

const GROUPS = [...new Set(PAGES.map((p) => p.group))];

/** Every page in its group; a count beside those where something needs a person. */
export function Navigation() {
  const { fleet } = useDraftState();
  const counts: Readonly<Record<string, ReactNode>> = fleet
    ? { '/findings': <Errors />, '/flags': <OpenFlags />, '/tanks': <Losing /> }
    : {};
  return (
    <nav className="nav no-print" aria-label="Pages">
      {GROUPS.map((group) => (
        <section key={group} className="nav-group" aria-label={group || 'Day'}>
          {group !== '' && <h2 className="nav-head">{group}</h2>}
          {PAGES.filter((p) => p.group === group).map((page) => (
            <Link
              key={page.path}
              to={page.path}
              search={{}}
              activeOptions={{ exact: page.path === '/', includeSearch: false }}
              className="nav-link"
            >
              {page.label}
              {counts[page.path]}
            </Link>
          ))}
        </section>
      ))}
    </nav>
  );
}

function Count({ is, n, of }: { is: Severity; n: number; of: string }) {
  if (n === 0) return null;
  return (
    <span className="nav-count">
      <Mark is={is}>
        {n}
        <span className="unseen"> {of}</span>
      </Mark>
    </span>
  );
}

/** Errors, so that nobody is surprised at the release. */
function Errors() {
  const found = useFindings();
  const errors = useMemo(() => found.filter((f) => f.severity === 'error').length, [found]);
  return <Count is="error" n={errors} of="errors" />;
}

function OpenFlags() {
  const flags = useAsk('flags', { query: {} }).data?.flags ?? [];
  return <Count is="note" n={flags.filter((f) => f.looked === null).length} of="open flags" />;
}

function Losing() {
  const verdicts = useTankVerdicts().data?.tanks ?? [];
  const losing = verdicts.filter((v) => tankSaid(v, 'gal')[0]?.is === 'error');
  return <Count is="error" n={losing.length} of="tanks that lose or gain" />;
}

import { Link } from '@tanstack/react-router';
import { useDraftState } from '../data/draft.ts';
import { useFindings } from '../data/findings.ts';
import { Mark } from '../look/marks.tsx';
import { PAGES } from '../pages.ts';

export function Navigation() {
  const { fleet } = useDraftState();
  return (
    <nav className="nav no-print" aria-label="Pages">
      {PAGES.map((page, i) => (
        <Link
          key={page.path}
          to={page.path}
          search={{}}
          activeOptions={{ exact: page.path === '/', includeSearch: false }}
          className={`nav-link${i > 0 && PAGES[i - 1]?.group !== page.group ? ' apart' : ''}`}
        >
          {page.label}
          {page.path === '/findings' && fleet && <Errors />}
        </Link>
      ))}
    </nav>
  );
}

/** How many findings are errors, so that nobody is surprised at the release. */
function Errors() {
  const errors = useFindings().filter((f) => f.severity === 'error').length;
  if (errors === 0) return null;
  return (
    <span className="nav-count">
      <Mark is="error">
        {errors}
        <span className="unseen"> errors</span>
      </Mark>
    </span>
  );
}

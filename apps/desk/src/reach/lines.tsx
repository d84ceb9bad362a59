import { Link } from '@tanstack/react-router';
import { countText, plural } from '../show/amounts.ts';
import type { Line } from './told.ts';
import './lines.css';

/** Groups of a difference, one below the other. `sites` names the two that are compared, where it is of sites. */
export const Lines = ({ lines, sites }: { lines: readonly Line[]; sites?: readonly [string, string] | undefined }) => (
  <ul className="lines">
    {lines.map((l) => (
      <li key={l.key}>
        {l.who.map((who) => (
          <div key={who} className="lines-who">
            {who}
          </div>
        ))}
        {l.all !== '' && (
          <details className="small">
            <summary>Every name</summary>
            {l.all}
          </details>
        )}
        {sites ? <AtTwo line={l} sites={sites} /> : <Changed line={l} />}
        <div className="small">
          {countText(l.points)} points{sites ? '' : ` at ${plural(l.hoses, 'hose')}`}.{' '}
          <Link to="/bench" search={l.bench}>
            Show on the bench
          </Link>
        </div>
      </li>
    ))}
  </ul>
);

const Changed = ({ line: l }: { line: Line }) => (
  <>
    <div>
      {l.product} at {l.sites}
    </div>
    <div>
      {l.kind === 'raised' ? '↑ Raised: ' : l.kind === 'lowered' ? '↓ Lowered: ' : ''}
      {l.before} → {l.after}
    </div>
    <div className="small quiet">
      Before: {l.whyBefore}. Now: {l.whyAfter}.
    </div>
  </>
);

const AtTwo = ({ line: l, sites: [first, second] }: { line: Line; sites: readonly [string, string] }) => (
  <>
    <div>{l.product}</div>
    <div>
      {l.before} at {first}, {l.after} at {second}
    </div>
    <div className="small quiet">
      {first}: {l.whyBefore}. {second}: {l.whyAfter}.
    </div>
  </>
);

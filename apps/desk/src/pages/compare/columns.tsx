import type { ChangeKind } from '@fillwright/core/reach';
import type { Compared } from '../../reach/compared.ts';
import { Lines } from '../../reach/lines.tsx';
import { countText, plural } from '../../show/amounts.ts';
import { countsSaid } from './words.ts';

type Sites = readonly [string, string] | undefined;

const FIRST = 6;
const MORE: readonly ChangeKind[] = ['gained', 'raised'];
const LESS: readonly ChangeKind[] = ['lost', 'lowered'];

/** Gained, lost and unchanged side by side: a raised limit is a gain, a lowered one a loss. */
export function Columns({ compared, sites }: { compared: Compared; sites: Sites }) {
  const { unchanged, told } = compared;
  const { points, looked } = told;
  const same = looked - points.gained - points.lost - points.raised - points.lowered;
  return (
    <section className="panel compare-columns" aria-label="Who gains, who loses, for whom nothing changes">
      <Column title={sites ? `More at ${sites[1]}` : 'Gained'} kinds={MORE} {...{ compared, sites }}>
        {sites ? 'Nobody can draw more there.' : 'Nobody gains anything.'}
      </Column>
      <Column title={sites ? `More at ${sites[0]}` : 'Lost'} kinds={LESS} {...{ compared, sites }}>
        {sites ? 'Nobody can draw more there.' : 'Nobody loses anything.'}
      </Column>
      <div className="stack">
        <h2 className="compare-title">{sites ? 'Alike at both' : 'Unchanged'}</h2>
        {unchanged.drivers !== '' && (
          <p>
            <strong>{unchanged.drivers}</strong>
          </p>
        )}
        {unchanged.vehicles !== '' && <p>Vehicles: {unchanged.vehicles}</p>}
        {unchanged.drivers === '' && unchanged.vehicles === '' && (
          <p className="quiet">{sites ? 'Something differs' : 'Something changes'} for everybody asked about.</p>
        )}
        <p className="small quiet">
          {countText(same)} points {sites ? 'are alike' : 'are as they were'}; most of them nobody may use.
        </p>
      </div>
    </section>
  );
}

function Column(props: {
  title: string;
  kinds: readonly ChangeKind[];
  compared: Compared;
  sites: Sites;
  children: string;
}) {
  const { title, kinds, compared, sites, children } = props;
  const lines = compared.told.lines.filter((l) => kinds.includes(l.kind));
  const untold = kinds.reduce((n, kind) => n + compared.told.more[kind], 0);
  return (
    <div className="stack">
      <div>
        <h2 className="compare-title">{title}</h2>
        {lines.length > 0 && <p className="small quiet">{countsSaid(compared, kinds)}</p>}
      </div>
      {lines.length === 0 && <p className="quiet">{children}</p>}
      <Lines lines={lines.slice(0, FIRST)} sites={sites} />
      {lines.length > FIRST && (
        <details>
          <summary>{lines.length - FIRST} more</summary>
          <Lines lines={lines.slice(FIRST)} sites={sites} />
          {untold > 0 && <p className="quiet">{plural(untold, 'smaller group')} not listed.</p>}
        </details>
      )}
    </div>
  );
}

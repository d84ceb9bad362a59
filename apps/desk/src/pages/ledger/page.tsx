import { unitOf } from '@fillwright/core/fleet';
import { type Fill, urlOf } from '@fillwright/wire';
import { useInfiniteQuery } from '@tanstack/react-query';
import { useVirtualizer } from '@tanstack/react-virtual';
import { useDeferredValue, useEffect, useRef } from 'react';
import { useDraft } from '../../data/draft.ts';
import { type CallError, hubOrThrow } from '../../data/hub.ts';
import { nameOf, useWhere } from '../../data/where.ts';
import { ProblemNote } from '../../look/problem-note.tsx';
import { moneyText, plural, volumeNumber, volumeText } from '../../show/amounts.ts';
import { siteMoment } from '../../show/site-time.ts';
import { AskWhy } from './ask-why.tsx';
import { FillView, StateOf } from './fill-view.tsx';
import { isFiltered, wishOf } from './filter.ts';
import { Filters } from './filters.tsx';
import { Refused } from './refused.tsx';
import './ledger.css';

const ROW = 44;

/** Every fill of the fleet, newest first. */
export default function LedgerPage() {
  const [where, change] = useWhere();
  if (where.fill) return <FillView id={where.fill} onBack={() => change({ fill: undefined })} />;
  return (
    <div className="page whole">
      <div className="page-head">
        <h1>Ledger</h1>
        <fieldset className="switch" aria-label="What is shown">
          {VIEWS.map(([view, label]) => (
            <button
              key={label}
              type="button"
              aria-pressed={(where.view ?? '') === view}
              onClick={() => change({ view: view || undefined })}
            >
              {label}
            </button>
          ))}
        </fieldset>
      </div>
      {where.view === 'refusals' ? <Refused /> : where.view === 'why' ? <AskWhy /> : <Ledger />}
    </div>
  );
}

const VIEWS = [
  ['', 'Fills'],
  ['refusals', 'Refusals'],
  ['why', 'Ask why'],
] as const;

function Ledger() {
  const { fleet } = useDraft();
  const [where, change] = useWhere();
  const here = Intl.DateTimeFormat().resolvedOptions().timeZone;
  const zone = fleet.sites.get(where.site ?? '')?.zone ?? here;
  const wish = useDeferredValue(wishOf(where, zone));
  const pages = useInfiniteQuery({
    queryKey: ['fills', 'pages', JSON.stringify(wish)],
    queryFn: ({ pageParam }) =>
      hubOrThrow('fills', { query: { ...wish, limit: 200, ...(pageParam === '' ? {} : { before: pageParam }) } }),
    initialPageParam: '',
    getNextPageParam: (page) => page.next ?? undefined,
  });
  const fills = pages.data?.pages.flatMap((p) => p.fills) ?? [];
  const totals = pages.data?.pages[0]?.totals;
  const failed = pages.error as CallError | null;
  return (
    <>
      <Filters zone={zone} />
      <p role="status" className="spread">
        <span>
          {totals ? (
            <>
              <strong>{plural(totals.fills, 'fill')}</strong>
              {isFiltered(where) ? ' match' : ''} · {volumeText(fleet, totals.volume)} ·{' '}
              {moneyText(fleet, totals.amount)}
            </>
          ) : pages.isPending ? (
            'Asking for the fills …'
          ) : (
            ''
          )}
        </span>
        {isFiltered(where) && (
          <button
            type="button"
            className="button plain"
            onClick={() =>
              change({
                site: undefined,
                driver: undefined,
                vehicle: undefined,
                product: undefined,
                costCentre: undefined,
                from: undefined,
                to: undefined,
                text: undefined,
              })
            }
          >
            Clear the filters
          </button>
        )}
        <span className="row no-print">
          <a className="button" href={urlOf('fillsCsv', { query: wish })} download>
            CSV
          </a>
          <a className="button" href={urlOf('fillsBook', { query: wish })} download>
            Workbook
          </a>
        </span>
      </p>
      {failed && <ProblemNote problem={failed.problem} />}
      {totals && totals.fills === 0 ? (
        <p className="quiet">
          {isFiltered(where) ? 'No fill matches.' : 'No fill yet: the first shows here while it flows.'}
        </p>
      ) : (
        <Rows
          fills={fills}
          more={pages.hasNextPage && !pages.isFetchingNextPage ? () => void pages.fetchNextPage() : undefined}
          open={(id) => change({ fill: id })}
        />
      )}
    </>
  );
}

/** The rows that are in sight, out of however many there are; what is above and below is kept open by two empty rows. */
function Rows({
  fills,
  more,
  open,
}: {
  fills: readonly Fill[];
  more: (() => void) | undefined;
  open: (id: string) => void;
}) {
  const { fleet } = useDraft();
  const box = useRef<HTMLDivElement>(null);
  const rows = useVirtualizer({
    count: fills.length,
    getScrollElement: () => box.current,
    estimateSize: () => ROW,
    overscan: 12,
  });
  const seen = rows.getVirtualItems();
  const last = seen.at(-1)?.index ?? 0;
  useEffect(() => {
    if (more && last >= fills.length - 30) more();
  }, [more, last, fills.length]);
  const above = seen[0]?.start ?? 0;
  const below = rows.getTotalSize() - (seen.at(-1)?.end ?? 0);
  return (
    <div className="ledger-rows" ref={box}>
      <table className="table ledger-table" aria-rowcount={fills.length + 1}>
        <caption className="unseen">Fills, newest first</caption>
        <thead>
          <tr aria-rowindex={1}>
            <th scope="col">Started, by the site’s clock</th>
            <th scope="col">Site</th>
            <th scope="col">Hose</th>
            <th scope="col">Product</th>
            <th scope="col">Driver</th>
            <th scope="col">Vehicle</th>
            <th scope="col" className="number">
              Volume ({unitOf(fleet.settings)})
            </th>
            <th scope="col" className="number">
              Amount
            </th>
            <th scope="col">State</th>
          </tr>
        </thead>
        <tbody>
          {above > 0 && <Gap height={above} />}
          {seen.map((item) => {
            const fill = fills[item.index];
            return fill && <Row key={fill.id} fill={fill} index={item.index} open={open} />;
          })}
          {below > 0 && <Gap height={below} />}
        </tbody>
      </table>
    </div>
  );
}

const Gap = ({ height }: { height: number }) => (
  <tr className="ledger-gap">
    <td colSpan={9} style={{ height }} />
  </tr>
);

function Row({ fill: f, index, open }: { fill: Fill; index: number; open: (id: string) => void }) {
  const { fleet } = useDraft();
  return (
    <tr aria-rowindex={index + 2} style={{ height: ROW }}>
      <td>
        <button type="button" className="ledger-open" onClick={() => open(f.id)}>
          {siteMoment(f.startedAt, fleet.sites.get(f.site)?.zone ?? 'UTC')}
        </button>
      </td>
      <td>{nameOf(fleet, 'sites', f.site)}</td>
      <td>{f.hoseNumber}</td>
      <td>{nameOf(fleet, 'products', f.product)}</td>
      <td>{f.driverName}</td>
      <td>{f.vehicleName}</td>
      <td className="number">{volumeNumber(fleet, f.volume, 2)}</td>
      <td className="number">{f.amount === null ? '' : moneyText(fleet, f.amount)}</td>
      <td>
        <StateOf fill={f} />
      </td>
    </tr>
  );
}

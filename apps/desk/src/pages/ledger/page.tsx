import { unitOf } from '@fillwright/core/fleet';
import { type Fill, urlOf } from '@fillwright/wire';
import { useInfiniteQuery } from '@tanstack/react-query';
import { useVirtualizer } from '@tanstack/react-virtual';
import { type ReactNode, useDeferredValue, useEffect, useRef } from 'react';
import { useDraft } from '../../data/draft.ts';
import { type CallError, hubOrThrow } from '../../data/hub.ts';
import { nameOf, useWhere } from '../../data/where.ts';
import { recordOptions } from '../../field/suggest.ts';
import { TextEntry } from '../../field/text-entry.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { moneyText, plural, volumeNumber, volumeText } from '../../show/amounts.ts';
import { siteMoment } from '../../show/site-time.ts';
import { FillView, StateOf } from './fill-view.tsx';
import { isFiltered, wishOf } from './filter.ts';
import './ledger.css';

const ROW = 44;

/** Every fill of the fleet, newest first. */
export default function LedgerPage() {
  const [where, change] = useWhere();
  if (where.fill) return <FillView id={where.fill} onBack={() => change({ fill: undefined })} />;
  return <Ledger />;
}

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
    <div className="page whole">
      <div className="page-head">
        <h1>Ledger</h1>
        <a className="button no-print" href={urlOf('fillsCsv', { query: wish })} download>
          CSV
        </a>
        <a className="button no-print" href={urlOf('fillsBook', { query: wish })} download>
          Workbook
        </a>
      </div>
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
    </div>
  );
}

function Filters({ zone }: { zone: string }) {
  const { fleet } = useDraft();
  const [where, change] = useWhere();
  const named = (
    key: 'driver' | 'vehicle' | 'costCentre',
    table: 'drivers' | 'vehicles' | 'costCentres',
    label: string,
  ) => (
    <Named label={label}>
      <TextEntry
        label={label}
        text={where[key] ? nameOf(fleet, table, where[key]) : ''}
        options={recordOptions(fleet, table)}
        placeholder="all"
        commit={(text) => {
          const typed = text.trim();
          const rows = fleet[table];
          const id = rows.has(typed) ? typed : [...rows.values()].find((r) => r.name === typed)?.id;
          change({ [key]: typed === '' ? undefined : (id ?? typed) });
          return undefined;
        }}
      />
    </Named>
  );
  return (
    <search className="ledger-filters no-print">
      <label className="field">
        <span className="field-label">Search</span>
        <input
          className="input"
          type="search"
          maxLength={100}
          value={where.text ?? ''}
          placeholder="name, answer, hose"
          onChange={(e) => change({ text: e.target.value || undefined })}
        />
      </label>
      <label className="field">
        <span className="field-label">Site</span>
        <select
          className="input"
          value={where.site ?? ''}
          onChange={(e) => change({ site: e.target.value || undefined })}
        >
          <option value="">all</option>
          {[...fleet.sites.values()].map((s) => (
            <option key={s.id} value={s.id}>
              {s.name}
            </option>
          ))}
        </select>
      </label>
      <label className="field">
        <span className="field-label">Product</span>
        <select
          className="input"
          value={where.product ?? ''}
          onChange={(e) => change({ product: e.target.value || undefined })}
        >
          <option value="">all</option>
          {[...fleet.products.values()].map((p) => (
            <option key={p.id} value={p.id}>
              {p.name}
            </option>
          ))}
        </select>
      </label>
      {named('driver', 'drivers', 'Driver')}
      {named('vehicle', 'vehicles', 'Vehicle')}
      {named('costCentre', 'costCentres', 'Cost centre')}
      <label className="field" title={`Whole days, ${zone}`}>
        <span className="field-label">From</span>
        <input
          className="input"
          type="date"
          value={where.from ?? ''}
          onChange={(e) => change({ from: e.target.value || undefined })}
        />
      </label>
      <label className="field" title={`Whole days, ${zone}`}>
        <span className="field-label">To</span>
        <input
          className="input"
          type="date"
          value={where.to ?? ''}
          onChange={(e) => change({ to: e.target.value || undefined })}
        />
      </label>
    </search>
  );
}

const Named = ({ label, children }: { label: string; children: ReactNode }) => (
  <div className="field">
    <span className="field-label" aria-hidden="true">
      {label}
    </span>
    {children}
  </div>
);

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

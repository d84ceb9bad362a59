// biome-ignore-all lint/a11y/noRedundantRoles: laid out in two lines on a narrow page, rows are no table any more to some screen readers without them
import { unitOf } from '@fillwright/core/fleet';
import type { AccountSums, MoneyStatement } from '@fillwright/wire';
import { useDraft } from '../../data/draft.ts';
import { useWhere } from '../../data/where.ts';
import { centsShown, milliShown } from '../../show/amounts.ts';

const BY = [
  ['costCentres', 'Cost centre'],
  ['vehicles', 'Vehicle'],
  ['drivers', 'Driver'],
  ['products', 'Product'],
] as const;

/** The statement's sums, with a grey bar for each part of what is due; the figures beside are the table behind the picture. */
export function SumsTable({ s }: { s: MoneyStatement }) {
  const { fleet } = useDraft();
  const [where, change] = useWhere();
  const [by, title] = BY.find(([key]) => key === where.by) ?? BY[0];
  // Without a correction what is due is the gross.
  const centres = by === 'costCentres' && s.corrections.length > 0;
  const most = Math.max(1, ...s[by].map((g) => Math.abs(g.sums.due)));
  const { currency } = fleet.settings;
  return (
    <section className="panel stack" aria-labelledby="money-sums">
      <div className="row spread">
        <h2 id="money-sums">What is due ({currency})</h2>
        <fieldset className="switch money-by no-print" aria-label="Grouped by">
          {BY.map(([key, label]) => (
            <button key={key} type="button" aria-pressed={key === by} onClick={() => change({ by: key })}>
              {label}
            </button>
          ))}
        </fieldset>
      </div>
      {s[by].length === 0 ? (
        <p className="quiet">Nothing was drawn in these days.</p>
      ) : (
        <div className="strip-scroll">
          <table
            role="table"
            className="table money-table money-sums"
            style={{ '--parts': s.taxes.length + (centres ? 3 : 1) } as React.CSSProperties}
          >
            <caption className="unseen">Sums by {title.toLowerCase()}</caption>
            <thead role="rowgroup">
              <tr role="row">
                <th role="columnheader" scope="col">
                  {title}
                </th>
                <th role="columnheader" scope="col" className="money-share">
                  <span className="unseen">Share as a bar</span>
                </th>
                <Figure head>Fills</Figure>
                <Figure head>Volume ({unitOf(fleet.settings)})</Figure>
                <Figure head>Net</Figure>
                {s.taxes.map((t) => (
                  <th role="columnheader" scope="col" className="number" data-names key={t}>
                    {t}
                  </th>
                ))}
                <Figure head>Gross</Figure>
                {centres && <Figure head>Corrections</Figure>}
                {centres && <Figure head>Due</Figure>}
              </tr>
            </thead>
            <tbody role="rowgroup">
              {s[by].map(({ name, sums }) => (
                <tr key={name} role="row">
                  <th role="rowheader" scope="row">
                    {name || <span className="quiet">none named</span>}
                  </th>
                  <td className="money-share" aria-hidden="true">
                    <div className="money-bar" style={{ inlineSize: `${(100 * Math.abs(sums.due)) / most}%` }} />
                  </td>
                  <Figures sums={sums} centres={centres} />
                </tr>
              ))}
            </tbody>
            <tfoot role="rowgroup">
              <tr role="row">
                <th role="rowheader" scope="row">
                  Sum
                </th>
                <td className="money-share" aria-hidden="true" />
                <Figures sums={s.whole} centres={centres} />
              </tr>
            </tfoot>
          </table>
        </div>
      )}
    </section>
  );
}

function Figures({ sums, centres }: { sums: AccountSums; centres: boolean }) {
  return (
    <>
      <Figure>{sums.fills}</Figure>
      <Figure>{milliShown(sums.milli)}</Figure>
      <Figure>{centsShown(sums.net)}</Figure>
      {sums.taxes.map((amount, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a tax is known by its place
        <Figure key={i}>{centsShown(amount)}</Figure>
      ))}
      <Figure>{centsShown(sums.gross)}</Figure>
      {centres && <Figure>{centsShown(sums.corrections)}</Figure>}
      {centres && <Figure>{centsShown(sums.due)}</Figure>}
    </>
  );
}

const Figure = ({ children, head }: { children: React.ReactNode; head?: boolean }) =>
  head ? (
    <th role="columnheader" scope="col" className="number">
      {children}
    </th>
  ) : (
    <td role="cell" className="number">
      {children}
    </td>
  );

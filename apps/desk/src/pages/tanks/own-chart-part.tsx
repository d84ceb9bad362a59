import type { Problem } from '@fillwright/core/errors';
import { canonical, type Fleet, lengthUnitOf, unitOf } from '@fillwright/core/fleet';
import { milliUnitsOf } from '@fillwright/core/units';
import type { TankStock } from '@fillwright/wire';
import * as Plot from '@observablehq/plot';
import { useCallback, useState } from 'react';
import { useDraft } from '../../data/draft.ts';
import { useMay } from '../../data/me.ts';
import { Heads, right } from '../../look/heads.tsx';
import { Mark } from '../../look/marks.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { plural, volumeNumber, volumeText } from '../../show/amounts.ts';
import { Picture } from '../../show/picture.tsx';

const UL = 1_000_000;
const ul = (litres: number) => Math.round(litres * UL);
const dipOf = (mm: number, unit: 'in' | 'mm') => (unit === 'in' ? mm / 25.4 : mm);
const NONE: Readonly<Record<string, string>> = {
  'no levels': 'The gauge tells no level, so the tank’s chart cannot be held against it.',
  'cannot be told apart':
    'Too few levels at rest, or over too small a part of the tank, to tell its chart: look at more days.',
};
const USED = {
  'strapping table': 'its strapping table',
  body: 'its measures',
  supposed: 'a lying cylinder, which is supposed',
} as const;

/** The chart that the tank's own readings and sales make, beside the one in use, and a way to take it into the draft. */
export function OwnChartPart({ stock, fleet }: { stock: TankStock; fleet: Fleet }) {
  const own = stock.ownChart;
  return (
    <div className="stack">
      <h3>The tank’s own chart</h3>
      {own ? <Fitted own={own} tank={stock.tank} fleet={fleet} /> : <p>{NONE[stock.noOwnChart ?? '']}</p>}
    </div>
  );
}

function Fitted({ own, tank, fleet }: { own: NonNullable<TankStock['ownChart']>; tank: string; fleet: Fleet }) {
  const [unit, length] = [unitOf(fleet.settings), lengthUnitOf(fleet.settings)];
  const beyond = own.points.filter((p) => Math.abs(p.fitted - p.used) > p.margin);
  const most = beyond.reduce((m, p) => (Math.abs(p.fitted - p.used) > Math.abs(m) ? p.fitted - p.used : m), 0);
  const words =
    beyond.length === 0
      ? 'Within its uncertainty the tank’s own chart is the one in use.'
      : `The tank’s own chart differs from the one in use beyond its uncertainty, by ${volumeText(fleet, ul(Math.abs(most)), 0)} at most.`;
  const draw = useCallback(
    (width: number) => {
      const amount = (litres: number) => milliUnitsOf(ul(litres), unit) / 1000;
      const points = own.points.map((p) => ({
        dip: dipOf(p.mm, length),
        off: amount(p.fitted - p.used),
        low: amount(p.fitted - p.used - p.margin),
        high: amount(p.fitted - p.used + p.margin),
      }));
      return Plot.plot({
        width,
        height: 200,
        marginLeft: 60,
        x: { label: `level, ${length}` },
        y: { label: `fitted less used, ${unit}`, grid: true, ticks: 5 },
        marks: [
          Plot.areaY(points, { x: 'dip', y1: 'low', y2: 'high', fill: 'var(--line)' }),
          Plot.ruleY([0], { stroke: 'var(--ink)', strokeDasharray: '4 3' }),
          Plot.line(points, { x: 'dip', y: 'off', stroke: 'var(--ink)', strokeWidth: 1.8 }),
        ],
      });
    },
    [own, unit, length],
  );
  return (
    <>
      <p>
        <Mark is={beyond.length === 0 ? 'good' : 'warning'}>{beyond.length === 0 ? 'agrees' : 'differs'}</Mark> {words}{' '}
        Levels are read by {USED[own.usedBy]}.
      </p>
      <Picture
        title="The tank’s own chart less the one in use, from the lowest level seen, with its 95 % band"
        words={words}
        draw={draw}
      >
        <table className="table">
          <caption className="unseen">The tank’s own chart beside the one in use</caption>
          <Heads
            of={[`Level, ${length}`, `Used, ${unit}`, `Fitted, ${unit}`, `Give or take, ${unit}`].map((words) =>
              right(words),
            )}
          />
          <tbody>
            {own.points.map((p) => (
              <tr key={p.mm}>
                <td className="number">{dipOf(p.mm, length).toFixed(length === 'in' ? 1 : 0)}</td>
                <td className="number">{volumeNumber(fleet, ul(p.used))}</td>
                <td className="number">{volumeNumber(fleet, ul(p.fitted))}</td>
                <td className="number">{volumeNumber(fleet, ul(p.margin))}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Picture>
      <p className="small quiet">
        Fitted to {own.readings} levels at rest in {plural(own.runs, 'draw-down')}, what is left{' '}
        {own.residualMm.toFixed(2)} mm. Its scale is the meters’ scale: meters that all give more make a chart too
        small. Below the lowest level seen nothing is known.
      </p>
      {own.proposed && <Propose proposed={own.proposed} tank={tank} />}
    </>
  );
}

/** Never by itself: a person takes the table into the draft, where it is a change like any other. */
function Propose({
  proposed,
  tank,
}: {
  proposed: NonNullable<NonNullable<TankStock['ownChart']>['proposed']>;
  tank: string;
}) {
  const { fleet, edit } = useDraft();
  const may = useMay('editor');
  const [problem, setProblem] = useState<Problem>();
  const row = fleet.tanks.get(tank);
  if (!may || !row) return null;
  if (canonical(row.chart) === canonical(proposed))
    return (
      <p className="small">
        This table is in the draft as the tank’s strapping table. It holds at the site once it is released.
      </p>
    );
  const take = () => {
    const done = edit(
      [{ op: 'set', table: 'tanks', id: tank, fields: { chart: proposed } }],
      `Strapping table of ${row.name} from its own readings`,
    );
    setProblem(done.ok ? undefined : done.error[0]);
  };
  return (
    <div className="row no-print">
      <button type="button" className="button" onClick={take}>
        Propose as strapping table
      </button>
      <span className="small quiet">
        {proposed.rows.length} rows into the draft; undo takes them out. A maker’s table or a calibration goes before
        this.
      </span>
      {problem && <ProblemNote problem={problem} />}
    </div>
  );
}

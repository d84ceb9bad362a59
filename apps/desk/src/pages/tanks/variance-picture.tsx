import type { Fleet } from '@fillwright/core/fleet';
import { unitOf } from '@fillwright/core/fleet';
import { milliUnitsOf } from '@fillwright/core/units';
import type { TankStock } from '@fillwright/wire';
import * as Plot from '@observablehq/plot';
import { useCallback } from 'react';
import { Heads, right } from '../../look/heads.tsx';
import { volumeNumber } from '../../show/amounts.ts';
import { Picture } from '../../show/picture.tsx';

const signed = (fleet: Fleet, v: number) => `${v > 0 ? '+' : ''}${volumeNumber(fleet, v)}`;

/** Measured less book, day by day as bars and summed as a line; days on which the control chart calls are marked. */
export function VariancePicture({ stock, fleet }: { stock: TankStock; fleet: Fleet }) {
  const unit = unitOf(fleet.settings);
  const draw = useCallback(
    (width: number) => {
      const amount = (ul: number) => milliUnitsOf(ul, unit) / 1000;
      return Plot.plot({
        width,
        height: 220,
        marginLeft: 60,
        x: { type: 'utc', label: null },
        y: { label: `over (+) or short (−), ${unit}`, grid: true, ticks: 5 },
        marks: [
          Plot.rectY(stock.days, {
            x1: (d) => Date.parse(d.date) - 36_000_000,
            x2: (d) => Date.parse(d.date) + 36_000_000,
            y1: 0,
            y2: (d) => amount(d.over),
            fill: 'var(--line-strong)',
          }),
          Plot.line(stock.days, {
            x: (d) => Date.parse(d.date),
            y: (d) => amount(d.cumulative),
            stroke: 'var(--ink)',
            strokeWidth: 1.5,
          }),
          Plot.dot(
            stock.days.filter((d) => d.signal),
            {
              x: (d) => Date.parse(d.date),
              y: (d) => amount(d.over),
              r: 6,
              stroke: 'var(--warning)',
              strokeWidth: 2,
              symbol: 'square',
            },
          ),
          Plot.ruleY([0], { stroke: 'var(--ink)' }),
        ],
      });
    },
    [stock, unit],
  );
  const calls = stock.days.filter((d) => d.signal).length;
  const sum = stock.days.at(-1)?.cumulative ?? 0;
  const words = `Over and short of ${stock.days.length} days, together ${signed(fleet, sum)} ${unit}; the control chart calls on ${calls} days.`;
  return (
    <Picture title="Measured less book: each day as a bar, the sum as a line" words={words} draw={draw}>
      <table className="table">
        <caption className="unseen">Book against measurement by day</caption>
        <Heads
          of={[
            'Day',
            ...['Opening', 'Delivered', 'Drawn', 'Book', 'Measured', 'Over or short', 'Sum'].map((words) =>
              right(words),
            ),
            'Control chart',
          ]}
        />
        <tbody>
          {stock.days.map((d) => (
            <tr key={d.date}>
              <td>{d.date}</td>
              <td className="number">{volumeNumber(fleet, d.opening)}</td>
              <td className="number">{volumeNumber(fleet, d.delivered)}</td>
              <td className="number">{volumeNumber(fleet, d.drawn)}</td>
              <td className="number">{volumeNumber(fleet, d.book)}</td>
              <td className="number">{volumeNumber(fleet, d.measured)}</td>
              <td className="number">{signed(fleet, d.over)}</td>
              <td className="number">{signed(fleet, d.cumulative)}</td>
              <td>
                {d.signal === null
                  ? ''
                  : d.signal === 'loss'
                    ? 'calls: shorter than usual'
                    : 'calls: more over than usual'}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Picture>
  );
}

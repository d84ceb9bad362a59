import type { Fleet } from '@fillwright/core/fleet';
import { unitOf } from '@fillwright/core/fleet';
import { milliUnitsOf } from '@fillwright/core/units';
import type { TankStock } from '@fillwright/wire';
import * as Plot from '@observablehq/plot';
import { useCallback } from 'react';
import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import { Heads, right } from '../../look/heads.tsx';
import { volumeText } from '../../show/amounts.ts';
import { Picture } from '../../show/picture.tsx';
import { siteMoment } from '../../show/site-time.ts';

/** From so many points on the quicker library draws. */
const MANY = 10_000;

/** The level over time: readings as a line, deliveries as bands, dips as dots, safe fill and low level as dashes. */
export function LevelPicture({ stock, fleet, zone }: { stock: TankStock; fleet: Fleet; zone: string }) {
  const unit = unitOf(fleet.settings);
  const draw = useCallback(
    (width: number) => {
      const amount = (ul: number) => milliUnitsOf(ul, unit) / 1000;
      return stock.trace.length > MANY ? quick(stock, width, amount) : fine(stock, width, amount, unit);
    },
    [stock, unit],
  );
  const last = stock.trace.at(-1);
  const words = `Level over ${Math.round((stock.to - stock.from) / 86_400_000)} days: ${stock.trace.length} readings, ${stock.deliveries.length} deliveries, ${stock.dips.length} dips${
    last ? `; last ${volumeText(fleet, last[1], 0)}` : ''
  }.`;
  // A row for each day's last reading is what a person can read; the ledger has every one.
  const daily = new Map(stock.trace.map(([at, v]) => [siteMoment(at, zone).slice(0, 10), [at, v] as const]));
  return (
    <Picture title={`Level (${unit})`} words={words} draw={draw}>
      <table className="table">
        <caption className="unseen">Last level of each day</caption>
        <Heads of={['At, by the site’s clock', right('Level')]} />
        <tbody>
          {[...daily.values()].map(([at, v]) => (
            <tr key={at}>
              <td>{siteMoment(at, zone)}</td>
              <td className="number">{volumeText(fleet, v, 0)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </Picture>
  );
}

function fine(stock: TankStock, width: number, amount: (ul: number) => number, unit: string): Element {
  return Plot.plot({
    width,
    height: 260,
    marginLeft: 60,
    x: { type: 'utc', domain: [stock.from, stock.to], label: null },
    y: { domain: [0, amount(stock.capacity)], label: unit, grid: true, ticks: 5 },
    marks: [
      Plot.rectX(
        stock.deliveries.flatMap((d) => (d.found ? [d.found] : [])),
        { x1: (f) => f.from - 3_600_000, x2: (f) => f.to + 3_600_000, fill: 'var(--line)' },
      ),
      Plot.ruleY([amount(stock.safe), amount(stock.low)], { stroke: 'var(--line-strong)', strokeDasharray: '4 3' }),
      Plot.line(stock.trace, { x: (p) => p[0], y: (p) => amount(p[1]), stroke: 'var(--ink)', strokeWidth: 1.2 }),
      Plot.dot(stock.dips, {
        x: (p) => p[0],
        y: (p) => amount(p[1]),
        r: 4,
        fill: 'var(--sheet)',
        stroke: 'var(--accent)',
        strokeWidth: 2,
      }),
      Plot.ruleX(stock.losses, { x: (l) => l.to, stroke: 'var(--error)', strokeWidth: 2, strokeDasharray: '2 2' }),
    ],
  });
}

function quick(stock: TankStock, width: number, amount: (ul: number) => number): Element {
  const into = document.createElement('div');
  const ink = getComputedStyle(document.documentElement).getPropertyValue('--ink-quiet') || 'gray';
  const style = { stroke: 'gray', grid: { stroke: '#8884', width: 1 } };
  new uPlot(
    {
      width,
      height: 260,
      legend: { show: false },
      cursor: { show: false },
      axes: [style, style],
      scales: { y: { range: [0, amount(stock.capacity)] } },
      series: [{}, { stroke: CSS.supports('color', ink) ? ink : 'gray', width: 1.2 }],
    },
    [stock.trace.map((p) => p[0] / 1000), stock.trace.map((p) => amount(p[1]))],
    into,
  );
  return into;
}

import type { Fleet } from '@fillwright/core/fleet';
import { unitOf } from '@fillwright/core/fleet';
import type { TankBook, TankStock } from '@fillwright/wire';
import { useState } from 'react';
import { useAsk } from '../../data/hub.ts';
import { Choice } from '../../field/choice.tsx';
import { Heads, right } from '../../look/heads.tsx';
import { Mark } from '../../look/marks.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { plural, volumeText } from '../../show/amounts.ts';
import { siteMoment } from '../../show/site-time.ts';
import { NEXT, NO_MODEL, percentText, verdictWords } from '../../show/stock-words.ts';
import { LevelPicture } from './level-picture.tsx';
import { OrderPart } from './order-part.tsx';
import { OwnChartPart } from './own-chart-part.tsx';
import { VariancePicture } from './variance-picture.tsx';

const SPANS = [14, 30, 60, 92] as const;

/** A tank's wet stock: verdict with its words, pictures, deliveries, hoses, and when to order. */
export function StockView({ book, fleet }: { book: TankBook; fleet: Fleet }) {
  const [days, setDays] = useState(30);
  const stock = useAsk('tankStock', { params: { tank: book.tank }, query: { days, leadDays: 2 } });
  const zone = fleet.sites.get(book.site)?.zone ?? 'UTC';
  return (
    <section className="panel stack" aria-label={`Wet stock of ${book.name}`}>
      <div className="row">
        <h2>Wet stock of {book.name}</h2>
        <Choice
          label="Days looked at"
          beside
          whole="small"
          items={SPANS.map((n) => [`${n}`, `${n}`])}
          value={`${days}`}
          choose={(n) => setDays(Number(n))}
        />
      </div>
      {stock.isError && <ProblemNote problem={stock.error.problem} />}
      {stock.isPending && <p role="status">Reckoning …</p>}
      {stock.data && <Shown stock={stock.data} fleet={fleet} zone={zone} />}
    </section>
  );
}

function Shown({ stock, fleet, zone }: { stock: TankStock; fleet: Fleet; zone: string }) {
  const unit = unitOf(fleet.settings);
  const { model, month, water } = stock;
  // Between steps the tank may be tight; that does not make a step good.
  const calm = stock.losses.length === 0 && !water && month?.within !== false;
  const mark = !model ? 'note' : model.verdict === 'pass' ? 'good' : model.verdict === 'fail' ? 'error' : 'warning';
  return (
    <>
      <div className="verdict stack">
        <p>
          <Mark is={mark}>{model ? model.verdict : 'no estimate'}</Mark>{' '}
          {model ? verdictWords(model, unit) : (NO_MODEL[stock.noModel ?? ''] ?? stock.noModel)}
        </p>
        {model && (model.verdict !== 'pass' || calm) && <p className="small">{NEXT[model.verdict]}</p>}
        {stock.losses.map((l) => (
          <p key={l.to}>
            <Mark is="error">sudden loss</Mark> {volumeText(fleet, -l.volume, 0)} went between{' '}
            {siteMoment(l.from, zone)} and {siteMoment(l.to, zone)}, and no fill explains it.
          </p>
        ))}
        {water && (
          <p>
            <Mark is="warning">water rises</Mark> from {water.fromMm.toFixed(1)} mm to {water.toMm.toFixed(1)} mm since{' '}
            {siteMoment(water.since, zone)}.
          </p>
        )}
        {month && (
          <p>
            {month.within ? 'Monthly sum within' : <Mark is="warning">monthly sum beyond</Mark>}:{' '}
            {volumeText(fleet, month.over, 1)} over or short of {volumeText(fleet, month.drawn, 0)} drawn in{' '}
            {plural(month.days, 'day')}; 1.0 % and 130 gallons are {volumeText(fleet, month.threshold, 1)}.{' '}
            <span className="small quiet">
              {month.means} {month.scope}
            </span>
          </p>
        )}
        {stock.cautions.map((c) => (
          <p key={c} className="small quiet">
            {c}
          </p>
        ))}
      </div>
      {stock.trace.length > 1 && <LevelPicture stock={stock} fleet={fleet} zone={zone} />}
      {stock.days.length > 1 && <VariancePicture stock={stock} fleet={fleet} />}
      <OrderPart stock={stock} fleet={fleet} />
      {stock.deliveries.length > 0 && <Deliveries stock={stock} fleet={fleet} zone={zone} />}
      {model && <Parts model={model} fleet={fleet} />}
      <OwnChartPart stock={stock} fleet={fleet} />
    </>
  );
}

function Deliveries({ stock, fleet, zone }: { stock: TankStock; fleet: Fleet; zone: string }) {
  return (
    <div className="stack">
      <h3>Deliveries: level against bill</h3>
      <div className="strip-scroll">
        <table className="table">
          <caption className="unseen">Deliveries found in the level beside their bills of lading</caption>
          <Heads
            of={[
              'By the level',
              right('Came, at 15 °C'),
              'Bill of lading',
              right('Gross'),
              right('Net, at 15 °C'),
              right('Came less billed'),
            ]}
          />
          <tbody>
            {stock.deliveries.map((d) => (
              <tr key={d.bill?.move ?? d.found?.from}>
                <td>{d.found ? siteMoment(d.found.to, zone) : <Mark is="warning">not seen in the tank</Mark>}</td>
                <td className="number">{d.found && volumeText(fleet, d.found.volume, 0)}</td>
                <td>{d.bill ? d.bill.document || siteMoment(d.bill.at, zone) : <Mark is="warning">no bill</Mark>}</td>
                <td className="number">{d.bill && volumeText(fleet, d.bill.gross, 0)}</td>
                <td className="number">
                  {d.billedNet !== null && volumeText(fleet, d.billedNet, 0)}
                  {d.netBy && d.netBy !== 'bill' && <div className="small quiet">by {d.netBy}</div>}
                </td>
                <td className="number">{d.difference !== null && volumeText(fleet, d.difference, 0)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </div>
  );
}

function Parts({ model, fleet }: { model: NonNullable<TankStock['model']>; fleet: Fleet }) {
  return (
    <>
      <h3>Meters against each other</h3>
      <div className="strip-scroll">
        <table className="table">
          <caption className="unseen">Each hose’s meter against the tank’s other hoses</caption>
          <Heads
            of={['Hose', right('Gives more than it counts'), right('Give or take'), right('It drifts'), 'Verdict']}
          />
          <tbody>
            {model.hoses.map((h) => (
              <tr key={h.hose}>
                <td>{fleet.hoses.get(h.hose)?.number ?? h.hose}</td>
                <td className="number">{h.relative === null ? '' : percentText(h.relative)}</td>
                <td className="number">{h.margin === null ? '' : percentText(h.margin).replace('+', '')}</td>
                <td className="number">{h.chance === null ? '' : `${Math.round(100 * h.chance)} %`}</td>
                <td>{h.verdict === 'drifts' ? <Mark is="warning">drifts: have it proved</Mark> : h.verdict}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p className="small quiet">
        A hose is named where it is likely by 70 % or more that it drifts, alone or with one other. A month of a 1 mm
        gauge often holds too little to say so: look at 90 days. A drift that all hoses share looks like a chart out of
        scale: only proving tells. Proving is for the registered service agent.
      </p>
      {model.oneOf.length > 0 && (
        <p>
          Some meter drifts, and the readings do not say for sure which:{' '}
          {model.oneOf
            .map(({ hoses, chance }) => {
              const numbers = hoses.map((h) => fleet.hoses.get(h)?.number ?? h);
              return `${numbers.length > 1 ? 'hoses' : 'hose'} ${numbers.join(' and ')} (${Math.round(100 * chance)} %)`;
            })
            .join(', or ')}
          . Two that drift alike look much like the others drifting the other way: have all of these proved.
        </p>
      )}
      {model.confused.map((group) => (
        <p key={group.join()}>Cannot be told apart from these readings: {group.join('; ')}.</p>
      ))}
      <details className="small">
        <summary>All that the model weighs</summary>
        <p className="quiet">
          {model.readings} levels at rest over {Math.round(model.hours / 24)} days, {model.leftOut} left out while
          somebody drew. What is left has a deviation of {model.residualMm.toFixed(2)} mm; intervals are widened{' '}
          {model.widened.toFixed(2)} times because days err more than their readings.
          {model.gauge.shared > 0 &&
            ` Readings close in time err alike: ${Math.round(100 * model.gauge.shared)} % of the error wanders and fades over some ${model.gauge.hours.toFixed(1)} hours. The intervals count with it.`}
        </p>
        <table className="table">
          <caption className="unseen">Parts of the model</caption>
          <Heads of={['Part', right('Value'), right('Deviation'), 'Unit', 'By the readings']} />
          <tbody>
            {model.estimates.map((e, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: the parts of one answer never move
              <tr key={i}>
                <td>{e.part}</td>
                <td className="number">{e.value.toPrecision(3)}</td>
                <td className="number">{e.deviation.toPrecision(2)}</td>
                <td>{e.unit}</td>
                <td>{e.told ? 'told' : 'supposed'}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </>
  );
}

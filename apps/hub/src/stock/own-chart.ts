import type { Strapping, Tank } from '@fillwright/core/fleet';
import { chartOfTank, LITRES_PER_GALLON, MM_PER_INCH } from '@fillwright/core/metering';
import { besideUsed, chartWith, dipsOf, type History, ownChart, type TankModel } from '@fillwright/core/stock';
import type { TankStock } from '@fillwright/wire';

/** Rows of the table that is proposed: a centimetre or half an inch apart, and more where the tank is deep. */
const STEP = { us: MM_PER_INCH / 2, metric: 10 } as const;
const MOST_ROWS = 400;
const TEN_THOUSANDTHS = 10_000;

/** The chart that the tank's own readings and sales make, beside the one in use, as a table that a person may take into the draft. */
export function ownChartOf(
  tank: Tank,
  units: 'us' | 'metric',
  history: History,
  model: TankModel | null,
): Pick<TankStock, 'ownChart' | 'noOwnChart'> {
  const own = ownChart(history, model);
  if (typeof own === 'string') return { ownChart: null, noOwnChart: own };
  const depth = (history.body.chart.dipMm.at(-1) ?? 0) - (history.body.chart.dipMm[0] ?? 0);
  const step = STEP[units] * Math.ceil(depth / STEP[units] / MOST_ROWS);
  const chart = chartWith(own, history.body, dipsOf(history.body, step));
  const proposed: Strapping | null = chart
    ? {
        dip: units === 'us' ? 'in' : 'mm',
        volume: units === 'us' ? 'gal' : 'l',
        rows: chart.dipMm.map((mm, i) => {
          const [dip, litres] = [units === 'us' ? mm / MM_PER_INCH : mm, chart.litres[i] ?? 0];
          const volume = units === 'us' ? litres / LITRES_PER_GALLON : litres;
          // A tenth of a unit is finer than any of this is known.
          return [Math.round(dip * TEN_THOUSANDTHS), Math.round(volume * 10) * (TEN_THOUSANDTHS / 10)];
        }),
      }
    : null;
  return {
    ownChart: {
      usedBy: tank.chart ? 'strapping table' : chartOfTank(tank) ? 'body' : 'supposed',
      runs: own.runs,
      readings: own.readings,
      residualMm: own.fitted.residualMm,
      points: besideUsed(own, history.body),
      proposed,
    },
    noOwnChart: null,
  };
}

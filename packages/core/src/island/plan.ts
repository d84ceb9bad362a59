import { type Fleet, type Terminal, unitOf } from '../fleet/index.ts';
import { chartOfTank } from '../metering/index.ts';
import type { Microlitres } from '../units/index.ts';
import type { HosePlan, QuestionPlan, TankPlan, TerminalPlan, YardPlan } from './types.ts';

/** Dots that one character takes, across and down. */
export const CHARACTER_DOTS = { small: [6, 8], even: [8, 16], large: [12, 24] } as const;

/** Columns and rows of a terminal's display; on one made of dots, as many characters as fit. */
export function displaySize({ columns, rows, dots, dotsAcross, dotsDown }: Terminal): {
  columns: number;
  rows: number;
} {
  if (dots === 'none') return { columns, rows };
  const [across, down] = CHARACTER_DOTS[dots];
  return {
    columns: dotsAcross === null ? columns : Math.max(1, Math.floor(dotsAcross / across)),
    rows: dotsDown === null ? rows : Math.max(1, Math.floor(dotsDown / down)),
  };
}

/** Two inches of water: common practice, no source. */
const MOST_WATER_MM = 50;

/** What the machine needs of a fleet for one site; undefined when the fleet has no such site. */
export function planOf(fleet: Fleet, site: string, revision: number): YardPlan | undefined {
  const row = fleet.sites.get(site);
  if (!row) return undefined;
  const here = <T extends { site: string }>(rows: ReadonlyMap<string, T>) =>
    [...rows.values()].filter((r) => r.site === site);
  const unit = unitOf(fleet.settings);
  const terminals: Record<string, TerminalPlan> = {};
  for (const t of here(fleet.terminals)) {
    terminals[t.id] = {
      id: t.id,
      name: t.name,
      ...displaySize(t),
      paper: t.paper,
      siteName: row.name,
      siteAddress: row.address,
      languages: t.languages,
      layouts: {
        idle: t.idleLayout,
        flowing: t.flowingLayout,
        filled: t.filledLayout,
        receipt: t.receiptLayout,
      },
      idle: t.idle,
      receiptHead: t.receiptHead,
      receiptFoot: t.receiptFoot,
      receiptDays: t.receiptDays,
      answerS: t.answer,
      refusedS: t.refused,
    };
  }
  const hoses: Record<string, HosePlan> = {};
  for (const h of here(fleet.hoses)) {
    const product = fleet.products.get(h.product);
    hoses[h.id] = {
      id: h.id,
      number: h.number,
      product: h.product,
      productName: product?.short || product?.name || h.product,
      channel: h.channel,
      pulsesPerMeasure: h.pulses,
      flowUlPerMin: h.flow,
      liftS: h.lift,
      firstPulseS: h.firstPulse,
      noPulseS: h.noPulse,
      longestMin: h.longest,
      terminals: h.terminals,
      tanks: fleet.pumps.get(h.pump)?.tanks ?? [],
      active: h.active,
    };
  }
  const tanks: Record<string, TankPlan> = {};
  for (const t of here(fleet.tanks)) {
    tanks[t.id] = {
      id: t.id,
      name: t.name,
      product: t.product,
      low: t.low,
      mostWaterMm: MOST_WATER_MM,
      whenProbeLost: 'note',
      chart: chartOfTank(t),
    };
  }
  const questions: Record<string, QuestionPlan> = {};
  for (const q of fleet.questions.values())
    questions[q.id] = { id: q.id, prompt: q.prompt, kind: q.kind, digits: q.digits };
  return {
    site,
    siteName: row.name,
    active: row.active,
    unit,
    currency: fleet.settings.currency,
    revision,
    terminals,
    hoses,
    tanks,
    questions,
  };
}

/** Hoses that may be chosen at a terminal, by their painted number. */
export const hosesAt = (plan: YardPlan, terminal: string): HosePlan[] =>
  Object.values(plan.hoses)
    .filter((h) => h.active && h.terminals.includes(terminal))
    .sort((a, b) => a.number - b.number);

/** Volume that flows in `ms` at the rated flow, rounded down. */
export const flowIn = (hose: HosePlan, ms: number): Microlitres => Math.floor((hose.flowUlPerMin * ms) / 60_000);

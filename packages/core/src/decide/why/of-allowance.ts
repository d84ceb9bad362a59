import { type Allowance, stretchesOf, within } from '../../fleet/index.ts';
import type { Used } from '../types.ts';
import type { Change, WhyCase } from './types.ts';

type Gain = readonly [field: string, to: string | number | null];

/** What an allowance must cover, too, for this product, site and minute of the week. */
export function notCovered({ fleet, request }: WhyCase, a: Allowance, minuteOfWeek: number): Gain[] {
  const product = fleet.hoses.get(request.hose)?.product;
  const out: Gain[] = [];
  if (product !== undefined && !a.products.includes(product)) out.push(['products', product]);
  if (a.sites !== null && !a.sites.includes(request.site)) out.push(['sites', request.site]);
  if (!within(stretchesOf(a.times), minuteOfWeek)) out.push(['times', minuteOfWeek]);
  return out;
}

const NOTHING: Used = { day: 0, week: 0, month: 0, fillsToday: 0 };

/** What could be changed about an allowance that a holder has, so that `need` (microlitres) can be drawn under it. */
export function ofAllowance(base: WhyCase, holder: string, id: string, need: number, minuteOfWeek: number): Change[] {
  const a = base.fleet.allowances.get(id);
  if (!a) return [];
  const { cutOff } = base.usage;
  const out = notCovered(base, a, minuteOfWeek);
  if (cutOff && a.cutOff !== 'goOn') out.push(['cutOff', 'goOn']);
  const used = base.usage.used[`${holder} ${id}`] ?? NOTHING;
  if (a.fillsPerDay !== null && used.fillsToday >= a.fillsPerDay) out.push(['fillsPerDay', used.fillsToday + 1]);
  if (a.perFill !== null && a.perFill < need) out.push(['perFill', need]);
  // While cut off only a share of what is left goes out, so the limit must be higher for the same fill.
  const part = cutOff && a.cutOff === 'share' ? a.share : 100;
  const enough = part === 0 ? null : Math.ceil((need * 100) / part);
  for (const [name, drawn] of [
    ['perDay', used.day],
    ['perWeek', used.week],
    ['perMonth', used.month],
  ] as const) {
    const most = a[name];
    if (most !== null && (enough === null || most < drawn + enough))
      out.push([name, enough === null ? null : drawn + enough]);
  }
  return out.map(([field, to]) => ({ kind: 'field', table: 'allowances', id, field, to }));
}

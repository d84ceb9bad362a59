import { type Chart, volumeAtDip } from '../metering/index.ts';
import type { EntryOf } from './entries.ts';
import { alarm, journal, type Turn, tellHose } from './turn.ts';
import type { Block, EventOf, TankState, YardPlan } from './types.ts';

type TankBlock = Extract<Block, 'tankLow' | 'water' | 'probe'>;

/** A tank that was low serves again when it stands this part above its low level, so that a hose does not flutter. */
const LOW_CLEARS_PART = 50;

/** What a tank's state forbids; `was` is what it forbade before. Every tank of a manifolded line must forbid it, but for water. */
function forbids(plan: YardPlan, tank: string, s: TankState, was: readonly TankBlock[]): TankBlock[] {
  const p = plan.tanks[tank];
  if (!p) return [];
  const out: TankBlock[] = [];
  if (s.lost && p.whenProbeLost === 'stop') out.push('probe');
  const low = was.includes('tankLow') ? p.low + Math.ceil(p.low / LOW_CLEARS_PART) : p.low;
  if (s.ul !== null && s.ul < low) out.push('tankLow');
  if (s.waterMm !== null && s.waterMm > p.mostWaterMm) out.push('water');
  return out;
}

/** Between two levels at rest that are kept: half an hour gives a leak nearly fifty readings a day in an idle yard. Common practice, no source. */
const REST_MS = 1_800_000;

/**
 * Journals what a tank's gauge says: at the start and the end of a fill, and at rest. A gauge reports now and then, so at a fill's end its
 * last word is from while fuel flowed; the first level after it, with nobody drawing, is the one that a balance can rest on.
 */
export function journalLevel(t: Turn, tank: string, when: EntryOf<'reading'>['when'], fill: string | null): void {
  const s = t.tanks[tank];
  if (!s || s.lost || (s.ul === null && s.levelMm === null)) return;
  journal(t, {
    kind: 'reading',
    at: t.at,
    tank,
    when,
    ...(fill === null ? {} : { fill }),
    ...(s.levelMm === null ? {} : { levelMm: s.levelMm }),
    ...(s.waterMm === null ? {} : { waterMm: s.waterMm }),
    ...(s.tempC === null ? {} : { tempC: s.tempC }),
    ...(s.ul === null ? {} : { ul: s.ul }),
  });
  t.tanks[tank] = { ...s, restAt: when === 'quiet' ? t.at : null };
}

function journalRest(t: Turn, tank: string): void {
  const s = t.tanks[tank];
  if (!s || (s.restAt !== null && t.at - s.restAt < REST_MS)) return;
  const drawn = Object.values(t.plan.hoses).some(
    (h) => h.tanks.includes(tank) && (t.hoses[h.id]?.fill ?? null) !== null,
  );
  if (!drawn) journalLevel(t, tank, 'quiet', null);
}

const UL_PER_LITRE = 1_000_000;

/**
 * A gauge that tells a level alone is read by the tank's chart. Below the chart's first dip nothing is known to be there, so the tank counts
 * as empty and its hoses stop; above its last the volume is not known.
 */
function ulOfLevel(chart: Chart | null, levelMm: number | undefined, before: number | null): number | null {
  if (!chart || levelMm === undefined) return before;
  if (levelMm < (chart.dipMm[0] ?? 0)) return 0;
  const litres = volumeAtDip({ by: 'chart', chart }, levelMm);
  return litres.ok ? Math.round(litres.value * UL_PER_LITRE) : null;
}

export function takeLevel(t: Turn, e: EventOf<'level'> | EventOf<'probeLost'>): void {
  const before = t.tanks[e.tank];
  if (!before) return;
  const now: TankState =
    e.kind === 'probeLost'
      ? { ...before, lost: true }
      : {
          ul: e.ul ?? ulOfLevel(t.plan.tanks[e.tank]?.chart ?? null, e.levelMm, before.ul),
          levelMm: e.levelMm ?? before.levelMm,
          waterMm: e.waterMm ?? before.waterMm,
          tempC: e.tempC ?? before.tempC,
          lost: false,
          forbids: before.forbids,
          restAt: before.restAt,
        };
  const forbid = forbids(t.plan, e.tank, now, before.forbids);
  t.tanks[e.tank] = { ...now, forbids: forbid };
  for (const block of forbid) if (!before.forbids.includes(block)) alarm(t, block, { tank: e.tank });
  for (const block of before.forbids)
    if (!forbid.includes(block)) journal(t, { kind: 'resumed', at: t.at, tank: e.tank, block, by: 'a reading' });
  if (now.lost && !before.lost && !forbid.includes('probe')) alarm(t, 'probe', { tank: e.tank });
  for (const hose of Object.values(t.plan.hoses)) if (hose.tanks.includes(e.tank)) pass(t, hose.id, hose.tanks);
  if (e.kind === 'level') journalRest(t, e.tank);
}

/** Brings a hose's blocks into line with its tanks. */
function pass(t: Turn, hose: string, tanks: readonly string[]): void {
  const all = tanks.map((id) => t.tanks[id]?.forbids ?? []);
  for (const block of ['tankLow', 'water', 'probe'] as const) {
    const must = block === 'tankLow' ? all.every((f) => f.includes(block)) : all.some((f) => f.includes(block));
    const has = t.hoses[hose]?.blocks.includes(block) ?? false;
    if (must && !has) tellHose(t, hose, { kind: 'halt', block });
    if (!must && has) tellHose(t, hose, { kind: 'clear', block, by: 'a reading' });
  }
}

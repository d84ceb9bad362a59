import type { Fleet, Hose } from '@fillwright/core/fleet';
import { NECK_UNITS, type ProvingRun, type RunDraft, usualRule } from '@fillwright/core/metering';
import { formatDate } from '@fillwright/core/units';
import { type Random, randomFrom } from '../random.ts';
import { gallons } from './yards.ts';

/** A proving run as a technician would have written it down. */
export interface PastProving {
  readonly hose: string;
  /** ms UTC. */
  readonly at: number;
  readonly run: ProvingRun;
  readonly note: string;
}

const DAY = 86_400_000;
const YEAR = 365.2425 * DAY;
/** Days before the end on which each hose was proved; the newest last. The yard's newest hose is still to be proved, one is overdue. */
const PROVED: Readonly<Record<string, readonly number[]>> = {
  'sallow-quay-h3': [],
  'oxmere-mill-h1': [1_130, 770, 402],
};
const USUALLY = [1_120, 762, 391, 38];
/** Percent a year by which a meter comes to give more; one of them wears. */
const WEARS: Readonly<Record<string, number>> = { 'highfell-h2': 0.11 };
const MEASURE_GAL = { slow: 5, full: 25 };

/** What the meters of the demo were proved to be in the years before `until` (ms UTC), oldest first: invented, every run within its tolerance. */
export function pastProvings(fleet: Fleet, until: number, seed: string | number): PastProving[] {
  const runs = [...fleet.hoses.values()].flatMap((hose) => {
    const random = randomFrom(`${seed}/${hose.id}`);
    const days = PROVED[hose.id] ?? USUALLY;
    const wears = WEARS[hose.id] ?? random.normal(0.01, 0.012);
    return days.map((ago, i): PastProving => {
      const at = until - ago * DAY - random.whole(0, 5) * 3_600_000;
      const percent = ((days[0] as number) - ago) * (DAY / YEAR) * wears;
      return {
        hose: hose.id,
        at,
        run: runOf(hose, at, percent, i === 0 ? 'acceptance' : 'maintenance', random),
        note: i === 0 ? 'Newly in service.' : 'Yearly.',
      };
    });
  });
  return runs.sort((a, b) => a.at - b.at);
}

function runOf(hose: Hose, at: number, percent: number, occasion: ProvingRun['occasion'], random: Random): ProvingRun {
  const date = formatDate(Math.floor(at / DAY));
  const tempC = Math.round(random.between(4, 19) * 2) / 2;
  const full = Math.min(hose.flow, gallons(18));
  const draft = (kind: RunDraft['kind'], size: number, flow: number): RunDraft => ({
    kind,
    indicatedMilli: size * 1_000,
    // A neck is read to half a cubic inch.
    readingMilli: 500 * Math.round((2 * size * NECK_UNITS.gal * (percent + random.normal(0, 0.015))) / 100),
    flow,
    meterC: tempC,
    proverC: tempC,
  });
  return {
    unit: 'gal',
    rule: usualRule('gal', hose.flow),
    occasion,
    date,
    pulsesMilli: hose.pulses,
    prover: {
      name: '25 and 5 gal test measures',
      certificate: `HW-${date.slice(0, 4)}-7`,
      certifiedOn: `${date.slice(0, 4)}-01-01`,
      expiresOn: `${date.slice(0, 4)}-12-31`,
      // 60 °F; stainless steel, cubical, from memory.
      baseC: 15.5556,
      expansionPerC: 0.0000477,
    },
    density: null,
    drafts: [
      draft('normal', MEASURE_GAL.full, full),
      draft('normal', MEASURE_GAL.full, full),
      draft('special', MEASURE_GAL.slow, Math.min(full, gallons(4))),
    ],
  };
}

import { findings } from '@fillwright/core/findings';
import { applyEdits } from '@fillwright/core/fleet';
import { judgeRun, meterDrift, meterStanding, type Proof } from '@fillwright/core/metering';
import { describe, expect, it } from 'vitest';
import { harrowmere, pastProvings, waitingChanges } from './index.ts';

const NOW = Date.UTC(2026, 10, 26, 12);
const fleet = harrowmere();

describe('what the demo begins with', () => {
  const runs = pastProvings(fleet, NOW, 'demo').map((p) => {
    const judged = judgeRun(p.run);
    if (!judged.ok) throw new Error(JSON.stringify(judged.error));
    return { ...p, judged: judged.value };
  });
  const proofsOf = (hose: string): Proof[] =>
    runs
      .filter((r) => r.hose === hose)
      .map(({ at, run, judged: j }) => ({
        at,
        verdict: j.verdict,
        pulsesMilli: run.pulsesMilli,
        truePulsesMilli: j.truePulsesMilli,
      }));

  it('are meters that all passed, one of them wearing, one overdue and one still to be proved', () => {
    expect(runs.filter((r) => r.judged.verdict !== 'passes')).toEqual([]);
    const standing = Object.fromEntries(
      [...fleet.hoses.values()].map((h) => [h.id, meterStanding(proofsOf(h.id), h.pulses, NOW).state]),
    );
    expect(standing).toMatchObject({ 'highfell-h2': 'proved', 'oxmere-mill-h1': 'due', 'sallow-quay-h3': 'never' });
    const slopes = [...fleet.hoses.keys()].map((h) => ({ h, perYear: meterDrift(proofsOf(h)).perYear ?? 0 }));
    expect(slopes.filter((s) => Math.abs(s.perYear) > 0.06).map((s) => s.h)).toEqual(['highfell-h2']);
  });

  it('is a draft ahead of its release by changes that raise nothing to an error', () => {
    let now = fleet;
    const errors = (f: typeof fleet) => findings(f, { today: 20_783 }).filter((x) => x.severity === 'error');
    for (const { edits } of waitingChanges(fleet)) {
      const done = applyEdits(now, edits);
      if (!done.ok) throw new Error(JSON.stringify(done.error));
      now = done.value;
    }
    expect(errors(now)).toEqual([]);
    expect(now.drivers.size).toBe(fleet.drivers.size + 1);
    expect(now.drivers.get('driver-23')?.active).toBe(false);
  });
});

import { emptyFleet, newRow } from '@fillwright/core/fleet';
import { judgeRun } from '@fillwright/core/metering';
import { expect, test } from 'vitest';
import { drawnMilli, newRun, proverFormOf, type RunForm, runOf } from './run-form.ts';

const gallons = (n: number) => Math.round(n * 3_785_411.784);
const fleet = emptyFleet({ name: 'Brook', units: 'us', currency: 'USD' });
const hose = newRow('hoses', {
  id: 'h1',
  site: 's',
  island: 'i',
  pump: 'p',
  product: 'd',
  flow: gallons(20),
  pulses: 100_000,
});
const prover = {
  name: '5 gal test measure',
  certificate: 'C-1',
  certifiedOn: '2026-01-01',
  expiresOn: '2026-12-31',
  baseT: '60',
  expansion: '0.0000265',
};
const begun = newRun(fleet, hose, prover, Date.UTC(2026, 5, 1, 12));
const form: RunForm = {
  ...begun,
  drafts: begun.drafts.map((d, i) => ({
    ...d,
    reading: ['+2.5', '1', '−1'][i] as string,
    proverT: i === 0 ? '84' : '',
  })),
};

test('what is typed becomes the run: signs, degrees and the prover’s metal', () => {
  const read = runOf(form, 'gal', 'UTC');
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  expect(read.value.run.drafts.map((d) => d.readingMilli)).toEqual([2500, 1000, -1000]);
  expect(read.value.at).toBe(Date.UTC(2026, 5, 1, 12));
  const judged = judgeRun(read.value.run);
  // (1155 + 2.5)(1 + 0.0000265 x 24) - 1155 = 3.236 in3, by hand.
  expect(judged.ok && judged.value.drafts[0]?.correctedMilli).toBe(3236);
  expect(proverFormOf(read.value.run)).toEqual(prover);
  expect(drawnMilli(form)).toBe(15_000);
});

test('the first thing that is wrong is named with its draft', () => {
  const field = (part: Partial<RunForm>) => {
    const read = runOf({ ...form, ...part }, 'gal', 'UTC');
    return read.ok ? 'ok' : read.error.at?.field;
  };
  expect(field({})).toBe('ok');
  expect(field({ drafts: form.drafts.map((d, i) => (i === 1 ? { ...d, reading: '' } : d)) })).toBe('draft 2: reading');
  expect(field({ drafts: form.drafts.map((d) => ({ ...d, proverT: 'warm' })) })).toBe(
    'draft 1: temperature at the prover',
  );
  expect(field({ prover: { ...prover, certificate: ' ' } })).toBe('certificate');
  expect(field({ pulses: '0' })).toBe('pulses');
  expect(field({ time: '25:00' })).toBe('at');
});

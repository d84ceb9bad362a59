import { describe, expect, it } from 'vitest';
import { percentText, rateText, tankSaid, verdictWords } from './stock-words.ts';

const model = (why: 'within' | 'lost' | 'gains' | 'not seen') => ({
  verdict: 'pass' as const,
  why,
  rate: 0.1,
  margin: 0.05,
  leastSeen: 0.1,
  threshold: 0.3785411784,
  limit: 0.7570823568,
  residualMm: 1,
  widened: 1,
  readings: 900,
  leftOut: 0,
  hours: 720,
  hoses: [],
  oneOf: [],
  gauge: { wholeMm: 1, shared: 0, hours: 0 },
  estimates: [],
  confused: [],
});

describe('the words of a verdict', () => {
  it('give rates in the fleet’s unit', () => {
    // 3.785411784 l in a US gallon exactly (NIST Handbook 44, appendix C).
    expect(rateText(0.7570823568, 'gal')).toBe('0.20 gal/h');
    expect(rateText(0.7570823568, 'l')).toBe('0.757 l/h');
    expect(rateText(-0.0378, 'gal')).toBe('-0.01 gal/h');
    expect(percentText(0.00512)).toBe('+0.51 %');
  });
  it('always name the least loss that could be seen, and never call what was not seen a pass', () => {
    for (const why of ['within', 'lost', 'gains', 'not seen'] as const)
      expect(verdictWords(model(why), 'gal')).toContain('The least loss that these readings would show is 0.026 gal/h');
    expect(verdictWords(model('not seen'), 'gal')).toContain('not a pass');
  });
});

describe('what a list says of a tank', () => {
  const calm = {
    ...{ tank: 't', to: 0, verdict: 'pass' as const, why: 'within' as const, rate: 0.1, margin: 0.05, noModel: null },
    ...{ losses: [], waterRises: false, monthWithin: true },
  };
  it('is nothing of one that passes, and the worst first of any other', () => {
    expect(tankSaid(calm, 'gal')).toEqual([]);
    const lost = { ...calm, verdict: 'fail' as const, why: 'lost' as const, rate: 1.1, monthWithin: false };
    expect(tankSaid(lost, 'gal')).toEqual([
      { is: 'error', words: 'loses 0.291 gal/h' },
      { is: 'warning', words: 'monthly sum beyond' },
    ]);
    expect(tankSaid({ ...lost, why: 'gains', rate: -1.1, monthWithin: null }, 'l')[0]?.words).toBe('gains 1.10 l/h');
    const step = { from: 0, to: 1, volume: -1 };
    expect(tankSaid({ ...calm, losses: [step] }, 'gal')[0]).toEqual({ is: 'error', words: 'sudden loss' });
    expect(tankSaid({ ...calm, verdict: 'inconclusive' }, 'gal')[0]?.is).toBe('warning');
  });
});

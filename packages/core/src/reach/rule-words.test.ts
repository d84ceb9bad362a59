import { ruleWords } from '@fillwright/core/reach';
import { expect, it } from 'vitest';
import { yard } from '../../test/yard.ts';

it('the rule that decides, in words: with the allowance that it is of, or by itself', () => {
  const fleet = yard();
  const of = (rule: string, allowance: string | null = 'day-crew') => ruleWords(fleet, { rule, allowance });
  expect(of('per-fill')).toBe('per fill of “Day crew diesel”');
  expect(of('per-day')).toBe('per day of “Day crew diesel”');
  expect(of('per-week')).toBe('per week of “Day crew diesel”');
  expect(of('per-month')).toBe('per month of “Day crew diesel”');
  expect(of('fills-per-day')).toBe('fills per day of “Day crew diesel”');
  expect(of('allowance-time')).toBe('outside the times of “Day crew diesel”');
  expect(of('allowance-site')).toBe('an allowance covers the site of “Day crew diesel”');
  expect(of('per-fill', 'gone')).toBe('per fill of “gone”');
  expect(of('hose-most', null)).toBe('the most that the hose gives in one fill');
  expect(of('vehicle-tank', null)).toBe('what the vehicle’s own tank holds');
  expect(of('allowance', null)).toBe('no allowance that covers this product at this site');
  expect(of('identified', null)).toBe('whoever must be known here is not presented');
  expect(of('holder-site', null)).toBe('not one of their sites');
  expect(of('question', null)).toBe('a question that no answer satisfies');
  expect(of('site-open', null)).toBe('the site is open on this date');
  // Where no rule is told there are no words.
  expect(of('', null)).toBe('');
});

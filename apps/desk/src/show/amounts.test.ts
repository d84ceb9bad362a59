import { expect, it } from 'vitest';
import { centsShown, limitText, milliShown, moneyText, plural, priceText, volumeText } from './amounts.ts';

const us = { settings: { name: 'x', units: 'us', currency: 'USD' } } as const;
const metric = { settings: { name: 'x', units: 'metric', currency: 'EUR' } } as const;

it('shows volumes in the fleet’s unit', () => {
  // 1 US gal = 3.785411784 l exactly (NIST Handbook 44, appendix C)
  expect(volumeText(us, 3_785_411_784)).toBe('1,000.0 gal');
  expect(volumeText(metric, 3_785_411_784, 3)).toBe('3,785.412 l');
  expect(volumeText(metric, -1_500_000)).toBe('-1.5 l');
});
it('shows money to hundredths and prices in full', () => {
  expect(moneyText(us, 12_345_650)).toBe('1,234.57 USD');
  expect(moneyText(us, 0)).toBe('0.00 USD');
  expect(priceText(us, 35_990)).toBe('3.599 USD per gal');
});
it('shows columns without their unit, thousands parted', () => {
  expect(centsShown(-104_039_200)).toBe('-10,403.92');
  expect(milliShown(2_685_415)).toBe('2,685.415');
});
it('shows a limit as a person would write it', () => {
  expect(limitText(us, 5_678_117_676)).toBe('1,500 gal');
  expect(limitText(metric, 12_500_000)).toBe('12.5 l');
});
it('counts in words', () => {
  expect(plural(1, 'entry', 'entries')).toBe('1 entry');
  expect(plural(0, 'hose')).toBe('0 hoses');
});

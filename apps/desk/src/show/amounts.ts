import { centText, milliText } from '@fillwright/core/accounts';
import { type Fleet, unitOf } from '@fillwright/core/fleet';
import { divideRounded, formatDecimal, formatLimit, formatVolume } from '@fillwright/core/units';

type Counted = Pick<Fleet, 'settings'>;

const grouped = (text: string): string => {
  const [head = '', tail] = text.split('.');
  const spaced = head.replace(/\B(?=(\d{3})+(?!\d))/g, ',');
  return tail === undefined ? spaced : `${spaced}.${tail}`;
};

/** Microlitres as '1,234.5 gal' in the fleet's unit, rounded half away from zero. */
export const volumeText = (fleet: Counted, volume: number, decimals: 0 | 1 | 2 | 3 = 1): string =>
  `${volumeNumber(fleet, volume, decimals)} ${unitOf(fleet.settings)}`;

/** The same without the unit, for columns whose heading names it. */
export const volumeNumber = (fleet: Counted, volume: number, decimals: 0 | 1 | 2 | 3 = 1): string =>
  grouped(formatVolume(volume, unitOf(fleet.settings), decimals));

/** A limit as a person would write it, '1,500 gal' or '12.5 gal'. */
export const limitText = (fleet: Counted, volume: number): string =>
  `${limitNumber(fleet, volume)} ${unitOf(fleet.settings)}`;

export const limitNumber = (fleet: Counted, volume: number): string =>
  grouped(formatLimit(volume, unitOf(fleet.settings)));

/** Money in 1/10,000 as '1,234.50 USD', rounded half away from zero to hundredths. */
export const moneyText = (fleet: Counted, money: number): string =>
  `${grouped(formatDecimal(Number(divideRounded(BigInt(money), 100n)), 2, 2))} ${fleet.settings.currency}`;

/** Money in 1/10,000, and thousandths of a gallon or litre, in a column whose heading names the unit: '10,403.92', '2,685.415'. */
export const centsShown = (money: number): string => grouped(centText(money));
export const milliShown = (milli: number): string => grouped(milliText(milli));

/** A price with all its decimals: '3.599 USD per gal'. */
export const priceText = (fleet: Counted, price: number): string =>
  `${formatDecimal(price, 4, 2)} ${fleet.settings.currency} per ${unitOf(fleet.settings)}`;

export const plural = (n: number, one: string, many = `${one}s`): string => `${n} ${n === 1 ? one : many}`;

/** '1,234,567'. */
export const countText = (n: bigint | number): string => n.toLocaleString('en');

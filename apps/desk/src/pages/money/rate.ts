import { USE_WORDS } from '@fillwright/core/accounts';
import { type Fleet, unitOf } from '@fillwright/core/fleet';
import { formatDecimal } from '@fillwright/core/units';
import type { AccountTax } from '@fillwright/wire';

/** '0.2440 USD per gal' or '5 %'; nothing ends the tax. */
export function rateText(fleet: Pick<Fleet, 'settings'>, tax: Pick<AccountTax, 'kind' | 'rate'>): string {
  if (tax.rate === 0) return 'ended';
  if (tax.kind === 'percent') return `${formatDecimal(tax.rate, 4)} %`;
  return `${formatDecimal(tax.rate, 4, 2)} ${fleet.settings.currency} per ${unitOf(fleet.settings)}`;
}

/** Which uses do not owe it, in words. */
export const exemptText = (tax: Pick<AccountTax, 'exempt'>): string =>
  tax.exempt.length === 0 ? 'nobody' : tax.exempt.map((use) => USE_WORDS[use]).join(', ');

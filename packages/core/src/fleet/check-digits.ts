/** Check digits of numbers that people copy by hand: they find a slip of the pen, and prove nothing else. */

/**
 * Whether a number's last digit is its check digit by modulus 10, 'double-add-double' (the Luhn formula, ISO/IEC 7812-1 Annex B).
 * Domain: one or more ASCII digits; anything else is false. It finds any one wrong digit and any two swapped neighbours but 0 and 9.
 */
export function luhnHolds(number: string): boolean {
  return /^\d+$/.test(number) && luhnSum(number, false) % 10 === 0;
}

/** The check digit, '0' to '9', to be put after `digits`. @throws RangeError when `digits` is not one or more ASCII digits. */
export function luhnDigit(digits: string): string {
  if (!/^\d+$/.test(digits)) throw new RangeError('only digits have a check digit');
  return String((10 - (luhnSum(digits, true) % 10)) % 10);
}

function luhnSum(digits: string, doubleLast: boolean): number {
  let sum = 0;
  let double = doubleLast;
  for (let i = digits.length - 1; i >= 0; i--) {
    const digit = digits.charCodeAt(i) - 48;
    const twice = digit * 2;
    sum += double ? (twice > 9 ? twice - 9 : twice) : digit;
    double = !double;
  }
  return sum;
}

// 49 CFR 565.15 Table III: A to H are 1 to 8, J to N 1 to 5, P 7, R 9, S to Z 2 to 9; I, O and Q are not used.
const VALUES = '0123456789.ABCDEFGH..JKLMN.P.R..STUVWXYZ';
// 49 CFR 565.15 Table IV; the ninth place is the check digit itself.
const WEIGHTS = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2] as const;

/** Whether a text has the shape of a vehicle identification number: 17 capital letters and digits without I, O and Q. */
export const isVinShaped = (vin: string): boolean => /^[A-HJ-NPR-Z0-9]{17}$/.test(vin);

/**
 * The check digit, '0' to '9' or 'X', that belongs in the ninth place of a 17-character VIN (49 CFR 565.15, Tables III to V).
 * Undefined where the text is not of that shape. The rule binds vehicles made for the United States; others may not keep it.
 */
export function vinDigit(vin: string): string | undefined {
  if (!isVinShaped(vin)) return undefined;
  let sum = 0;
  for (let i = 0; i < 17; i++) sum += (VALUES.indexOf(vin.charAt(i)) % 10) * (WEIGHTS[i] ?? 0);
  const remainder = sum % 11;
  return remainder === 10 ? 'X' : String(remainder);
}

/** Whether a 17-character VIN holds its check digit; undefined where the text is not of that shape, so that nothing can be said. */
export function vinHolds(vin: string): boolean | undefined {
  const digit = vinDigit(vin);
  return digit === undefined ? undefined : vin.charAt(8) === digit;
}

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isVinShaped, luhnDigit, luhnHolds, vinDigit, vinHolds } from '../src/fleet/index.ts';

// One seed: what fails here fails for everybody.
fc.configureGlobal({ seed: 20_261_125 });

describe('the card check digit (ISO/IEC 7812-1 Annex B)', () => {
  // Worked by hand from the rule in the standard; lengths 11 to 18.
  it.each([
    ['7992739871', '3'],
    ['400000123456', '2'],
    ['601112345678901', '9'],
    ['70088812345678901', '7'],
    ['123456789012345', '2'],
    ['900000000000001', '9'],
  ])('%s takes %s', (digits, digit) => {
    expect(luhnDigit(digits)).toBe(digit);
    expect(luhnHolds(digits + digit)).toBe(true);
  });

  it.each(['79927398710', '79927398731', '4111111111111112', '', '12a4', '１２３４'])('%s does not hold', (number) => {
    expect(luhnHolds(number)).toBe(false);
  });

  it('finds any one wrong digit, and swapped neighbours but 0 and 9', () => {
    const digits = fc.stringMatching(/^\d{12,18}$/);
    fc.assert(
      fc.property(digits, fc.nat(), fc.integer({ min: 1, max: 9 }), (body, where, by) => {
        const number = body + luhnDigit(body);
        const i = where % number.length;
        const wrong = number.slice(0, i) + ((Number(number[i]) + by) % 10) + number.slice(i + 1);
        expect(luhnHolds(wrong)).toBe(false);
        const j = where % (number.length - 1);
        const pair = number.slice(j, j + 2);
        const swapped = number.slice(0, j) + [...pair].reverse().join('') + number.slice(j + 2);
        expect(luhnHolds(swapped)).toBe(pair[0] === pair[1] || pair === '09' || pair === '90');
      }),
    );
  });

  it('has no digit for what is not digits', () => {
    expect(() => luhnDigit('12x')).toThrow(RangeError);
  });
});

describe('the vehicle identification number (49 CFR 565.15)', () => {
  // The first is the worked example in 49 CFR 565.15, the second one of NHTSA's; the others worked from Tables III to V.
  it.each([
    ['1G4AH59H45G118341', '4'],
    ['1J9RP1A36A1644345', '6'],
    ['1M8GDM9AXKP042788', 'X'],
    ['1HGBH41JXMN109186', 'X'],
    ['5GZCZ43D13S812715', '1'],
    ['11111111111111111', '1'],
    ['1HGCM82633A004352', '3'],
  ])('%s has %s', (vin, digit) => {
    expect(vinDigit(vin)).toBe(digit);
    expect(vinHolds(vin)).toBe(true);
  });

  it('finds a wrong letter, and says nothing of other shapes', () => {
    expect(vinDigit('SGZCZ43D13S812715')).toBe('X');
    expect(vinHolds('SGZCZ43D13S812715')).toBe(false);
    for (const other of ['', '1G4AH59H45G11834', 'IG4AH59H45G118341', '1g4ah59h45g118341']) {
      expect(isVinShaped(other)).toBe(false);
      expect(vinHolds(other)).toBeUndefined();
    }
  });
});

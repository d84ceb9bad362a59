import { describe, expect, it } from 'vitest';
import { emptyFleet, newRow, type RowOf, type TableName } from '../fleet/index.ts';
import type { ZoneTable } from '../units/index.ts';
import { explain, nameOf, nextStep, refusalWords } from './explain.ts';
import { RULES } from './rules.ts';
import type { Decision, RuleCode, Step, Verdict } from './types.ts';
import type { Change, Changer } from './why/types.ts';
import { changeWords } from './why/words.ts';

const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const TEN_GALLONS = 37_854_120;
const fleet = emptyFleet({ name: 'Harrowmere', units: 'us', currency: 'USD' });
const put = <T extends TableName>(table: T, row: Partial<RowOf<T>> & { id: string }) =>
  (fleet[table] as unknown as Map<string, RowOf<T>>).set(row.id, newRow(table, row));
put('sites', { id: 's1', name: 'North yard' });
put('sites', { id: 's2', name: '  ' });
put('products', { id: 'p1', name: 'Diesel' });
put('hoses', { id: 'h1', site: 's1', product: 'p1', number: 4 });
put('terminals', { id: 't1', name: 'Terminal 1' });
put('questions', { id: 'q1', prompt: 'Odometer' });
put('drivers', { id: 'd1', name: 'Ana' });
put('drivers', { id: 'd:2', name: 'Bo' });
put('vehicles', { id: 'v1', name: 'Lorry 1' });
put('allowances', { id: 'a1', name: 'Day crew' });
put('credentials', { id: 'c1', number: '4711' });
put('prices', { id: 'pr1' });

const ROW = {
  ...{ sites: 's1', hoses: 'h1', credentials: 'c1', drivers: 'd1', vehicles: 'v1', questions: 'q1' },
  ...{ allowances: 'a1', '': '' },
};
type Table = keyof typeof ROW;
const ANA = { holder: 'driver:d1' };
/** What is said of a step: verdict, rule, the table of the row that it is about, figures, limit. */
const SAID: readonly (readonly [Verdict, RuleCode, Table, Step['facts'], string, number?])[] = [
  ['refuse', 'site-known', 'sites', {}, 'Site North yard is not in the fleet or not in service.'],
  ['pass', 'site-known', 'sites', {}, 'The site is in the fleet and in service.'],
  ['refuse', 'hose-known', 'hoses', {}, 'The hose 4 is not at this site or not in service.'],
  ['refuse', 'hose-terminal', 'hoses', {}, 'This terminal may not choose hose 4.'],
  ['refuse', 'card-known', '', { number: '12', why: 'unknown' }, 'The number 12 is not in the roster.'],
  [
    ...(['refuse', 'card-known', '', { number: '12', why: 'twice' }] as const),
    'The number 12 is carried by two credentials, so it identifies nobody.',
  ],
  ['pass', 'card-known', 'credentials', {}, 'The card 4711 is in the roster.'],
  ['ask', 'card-known', '', {}, 'No credential has been presented yet.'],
  ['refuse', 'card-stopped', 'credentials', {}, 'The card 4711 has been stopped.'],
  ['refuse', 'card-dates', 'credentials', { why: 'late' }, 'The card 4711 is no longer valid.'],
  ['refuse', 'card-dates', 'credentials', { why: 'early' }, 'The card 4711 is not valid yet.'],
  ['refuse', 'cards-agree', 'credentials', { why: 'nobody' }, 'The card 4711 belongs to nobody.'],
  ['refuse', 'cards-agree', 'credentials', { why: 'clash' }, 'Two drivers or two vehicles were presented at once.'],
  ['refuse', 'holder-active', 'drivers', {}, 'Ana is not active.'],
  ['pass', 'holder-active', 'drivers', {}, 'Ana is active.'],
  ['refuse', 'holder-dates', 'drivers', { why: 'late' }, 'Ana is no longer valid.'],
  ['refuse', 'holder-dates', 'drivers', { why: 'early' }, 'Ana is not valid yet.'],
  ['pass', 'holder-dates', 'drivers', {}, 'Ana is within its dates.'],
  ['refuse', 'holder-site', 'drivers', {}, 'Ana may not use this site.'],
  ['pass', 'holder-site', 'drivers', {}, 'Ana may use this site.'],
  ['ask', 'identified', 'sites', { missing: 'driver' }, 'The credential of the driver is missing.'],
  ['ask', 'identified', 'sites', { missing: 'either' }, 'The credential of the driver or vehicle is missing.'],
  ['refuse', 'site-open', 'sites', {}, 'The site is closed on this date.'],
  ['pass', 'site-open', 'sites', {}, 'The site is open on this date.'],
  ['refuse', 'pin', 'drivers', { pin: 'wrong' }, 'The PIN was wrong.'],
  ['refuse', 'pin', 'drivers', { pin: 'locked' }, 'Ana is locked after too many wrong PINs.'],
  ['refuse', 'pin', 'drivers', { pin: 'notSet' }, 'Ana has no PIN at this site.'],
  ['pass', 'pin', 'drivers', {}, 'The PIN was right.'],
  ['ask', 'pin', 'drivers', { pin: 'notAsked' }, 'The PIN has not been keyed yet.'],
  ['refuse', 'question', 'questions', { why: 'form' }, '“Odometer”: the answer does not have the form it must have.'],
  ['refuse', 'question', 'questions', { why: 'notAccepted' }, '“Odometer”: the answer is not one that is accepted.'],
  [
    ...(['refuse', 'question', 'questions', { why: 'tooLittle', last: 9 }] as const),
    '“Odometer”: the answer is too low after the last reading of 9.',
  ],
  [
    ...(['refuse', 'question', 'questions', { why: 'tooMuch', last: 9 }] as const),
    '“Odometer”: the answer is too high after the last reading of 9.',
  ],
  ['pass', 'question', 'questions', undefined, '“Odometer” is answered.'],
  ['pass', 'question', 'questions', { why: 'tooMuch' }, '“Odometer”: the answer is implausible and was noted.'],
  ['ask', 'question', 'questions', undefined, '“Odometer” has not been answered yet.'],
  ['refuse', 'allowance', 'drivers', {}, 'Ana holds no allowance, and nobody else identified does.'],
  ['refuse', 'allowance-product', 'allowances', ANA, 'No allowance of Ana covers this product.'],
  ['refuse', 'allowance-product', 'allowances', { holder: 'driver:d:2' }, 'No allowance of Bo covers this product.'],
  ['refuse', 'allowance-site', 'allowances', ANA, '“Day crew” of Ana does not cover this site.'],
  ['notLookedAt', 'allowance-time', 'allowances', ANA, '“Day crew” of Ana does not cover this day and time.'],
  [
    ...(['refuse', 'allowance-cut-off', 'allowances', ANA] as const),
    '“Day crew” of Ana does not hold while the site is cut off.',
  ],
  ['refuse', 'fills-per-day', 'allowances', ANA, 'Ana has used up the fills per day of “Day crew”.'],
  ['refuse', 'per-fill', 'allowances', ANA, '“Day crew” of Ana leaves less than can be metered.'],
  ['pass', 'per-fill', 'allowances', ANA, '“Day crew” of Ana sets no limit.'],
  ['refuse', 'per-day', 'allowances', ANA, 'Ana has used up the day’s quantity of “Day crew”.'],
  ['refuse', 'per-week', 'allowances', ANA, 'Ana has used up the week’s quantity of “Day crew”.'],
  ['refuse', 'per-month', 'allowances', ANA, 'Ana has used up the month’s quantity of “Day crew”.'],
  ['refuse', 'hose-most', 'hoses', {}, 'The hose’s most per fill is less than can be metered.'],
  ['refuse', 'vehicle-tank', 'vehicles', {}, 'The tank of Lorry 1 is smaller than can be metered.'],
  ['limit', 'fills-per-day', 'allowances', ANA, '“Day crew” of Ana: no fill is left today.', 0],
  ['limit', 'per-fill', 'allowances', ANA, '“Day crew” of Ana: 10.0 gal per fill.', TEN_GALLONS],
  ['limit', 'per-day', 'allowances', ANA, '“Day crew” of Ana: 10.0 gal left today.', TEN_GALLONS],
  ['limit', 'per-week', 'allowances', ANA, '“Day crew” of Ana: 10.0 gal left this week.', TEN_GALLONS],
  [
    ...(['limit', 'per-month', 'allowances', { holder: 'vehicle:v1', share: 40 }] as const),
    '“Day crew” of Lorry 1: 10.0 gal left this month (40 % of what is left, while cut off).',
    TEN_GALLONS,
  ],
  ['limit', 'hose-most', 'hoses', {}, 'The hose 4 gives at most 10.0 gal in one fill.', TEN_GALLONS],
  ['limit', 'vehicle-tank', 'vehicles', {}, 'The tank of Lorry 1 holds 10.0 gal.', TEN_GALLONS],
];

describe('a decision in words', () => {
  const steps = SAID.map(
    ([says, rule, table, facts, , limit]): Step => ({
      ...{ says, rule },
      ...(table ? { on: { table, id: ROW[table] } } : {}),
      ...(facts ? { facts } : {}),
      ...(limit === undefined ? {} : { limit }),
    }),
  );
  const by = steps[3] as Step;
  const decision: Decision = { approved: false, by, steps };

  it('says each rule, about whom, and whether it decides', () => {
    const lines = explain(decision, fleet);
    for (const [n, [says, rule, , , text]] of SAID.entries()) {
      const on = steps[n]?.on;
      const { title } = RULES[rule];
      expect(lines[n]).toStrictEqual({ rule, title, says, text, ...(on ? { on } : {}), decides: n === 3 });
    }
    expect(refusalWords(decision, fleet)).toBe('This terminal may not choose hose 4.');
    expect(nextStep(decision)).toBe(RULES['hose-terminal'].next);
  });

  it('is tried here for every rule', () => {
    expect(new Set(SAID.map(([, rule]) => rule))).toEqual(new Set(Object.keys(RULES)));
  });

  it('names rows as people do, or by their id where they have no name', () => {
    expect(nameOf(fleet, 'sites', 's1')).toBe('North yard');
    expect(nameOf(fleet, 'sites', 's2')).toBe('s2');
    expect(nameOf(fleet, 'sites', 'gone')).toBe('gone');
    expect(nameOf(fleet, 'nothing', 'x')).toBe('x');
    expect(nameOf(fleet, 'prices', 'pr1')).toBe('pr1');
    expect(nameOf(fleet, 'questions', 'q1')).toBe('Odometer');
    expect(nameOf(fleet, 'credentials', 'c1')).toBe('card 4711');
  });
});

describe('a change in words', () => {
  const field = (
    table: Exclude<Table, '' | 'questions'>,
    name: string,
    to: string | number | boolean | null,
  ): Change => ({
    ...{ kind: 'field', table, id: ROW[table], field: name, to },
  });
  const ANA_S = { table: 'drivers', id: 'd1', number: '4711' } as const;
  const said: readonly (readonly [Changer, Change, string])[] = [
    ['person', { kind: 'hose', hose: 'h1' }, 'use hose 4 (Diesel)'],
    ['person', { kind: 'time', at: Date.UTC(2026, 2, 6, 7, 5) }, 'come at 2026-03-06 07:05 or soon after'],
    ['person', { kind: 'pin' }, 'key the right PIN (an editor sets one where there is none)'],
    ['person', { kind: 'answer', question: 'q1', answer: '7' }, 'answer “Odometer” with such as 7'],
    ['person', { kind: 'present', ...ANA_S, alike: 0 }, 'present the credential of Ana'],
    [
      'person',
      { kind: 'present', ...ANA_S, alike: 1 },
      'present the credential of Ana or one other that would do as well',
    ],
    [
      'person',
      { kind: 'present', ...ANA_S, alike: 2 },
      'present the credential of Ana or any of 2 others that would do as well',
    ],
    ['technician', { kind: 'link' }, 'bring back the site’s link to the office'],
    ['editor', { kind: 'give', table: 'drivers', id: 'd1', allowance: 'a1' }, 'give Ana the allowance “Day crew”'],
    ['editor', field('credentials', 'stopped', false), 'lift the stop of the card 4711, if it was found'],
    ['editor', field('drivers', 'active', true), 'set Ana active'],
    ['editor', field('vehicles', 'active', true), 'set Lorry 1 active'],
    ['editor', field('sites', 'active', true), 'set North yard in service'],
    ['editor', field('sites', 'closed', '2026-03-06'), 'open the site on 2026-03-06'],
    ['editor', field('allowances', 'times', 1500), 'let “Day crew” hold on Tuesday 01:00 to 02:00 too'],
    ['editor', field('allowances', 'times', 10_079), 'let “Day crew” hold on Sunday 23:00 to 24:00 too'],
    ['editor', field('allowances', 'times', 0), 'let “Day crew” hold on Monday 00:00 to 01:00 too'],
    ['editor', field('allowances', 'times', 3000), 'let “Day crew” hold on Wednesday 02:00 to 03:00 too'],
    ['editor', field('allowances', 'times', 4400), 'let “Day crew” hold on Thursday 01:00 to 02:00 too'],
    ['editor', field('allowances', 'times', 5800), 'let “Day crew” hold on Friday 00:00 to 01:00 too'],
    ['editor', field('allowances', 'times', 7300), 'let “Day crew” hold on Saturday 01:00 to 02:00 too'],
    ['editor', field('allowances', 'products', 'p1'), 'let “Day crew” cover Diesel'],
    ['editor', field('allowances', 'sites', 's1'), 'let “Day crew” cover North yard'],
    ['editor', field('drivers', 'sites', 's1'), 'let Ana use North yard'],
    ['editor', field('hoses', 'terminals', 't1'), 'let Terminal 1 choose hose 4'],
    ['editor', field('allowances', 'cutOff', 'goOn'), 'let “Day crew” go on while the site is cut off'],
    ['editor', field('allowances', 'perDay', null), 'take the limit per day off “Day crew”'],
    ['editor', field('allowances', 'perFill', TEN_GALLONS), 'raise per fill of “Day crew” to 10.0 gal'],
    ['editor', field('allowances', 'perDay', TEN_GALLONS), 'raise per day of “Day crew” to 10.0 gal'],
    ['editor', field('allowances', 'perWeek', TEN_GALLONS), 'raise per week of “Day crew” to 10.0 gal'],
    ['editor', field('allowances', 'perMonth', TEN_GALLONS), 'raise per month of “Day crew” to 10.0 gal'],
    ['editor', field('hoses', 'mostPerFill', TEN_GALLONS), 'raise most per fill of hose 4 to 10.0 gal'],
    ['editor', field('vehicles', 'capacity', TEN_GALLONS), 'raise fuel tank of Lorry 1 to 10.0 gal'],
    ['editor', field('allowances', 'fillsPerDay', 3), 'set fills per day of “Day crew” to 3'],
    ['editor', field('drivers', 'validUntil', '2026-03-06'), 'set valid until of Ana to 2026-03-06'],
  ];
  it('says what to do and who can', () => {
    for (const [who, change, text] of said) expect(changeWords(fleet, change, UTC)).toEqual({ who, text });
  });
});

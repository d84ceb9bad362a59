import type { Target } from './mapping.ts';

/** What the headings of rosters usually mean: common practice, no source. Words are compared in small letters, without marks. */

export interface Meaning {
  readonly to: readonly Target[];
  readonly confidence: number;
  readonly why: string;
}

const driver = (field: string, part?: number): Target => ({ table: 'drivers', field, ...(part ? { part } : {}) });
const vehicle = (field: string): Target => ({ table: 'vehicles', field });
const card = (field: string): Target => ({ table: 'credentials', field });

type Rule = readonly [pattern: RegExp, to: readonly Target[], confidence: number, what: string];

const PERSON = '(emp|empl|employee|staff|person|personnel|driver|operator|payroll|worker)';
const NUMBER = '(no|nr|num|number|id|code)';
const UNIT = '(unit|vehicle|veh|truck|asset|equipment|equip|fleet|car|machine)';

// The first rule that fits wins, so the narrow ones come first.
const RULES: readonly Rule[] = [
  [/\bpin\b|password|passcode|secret/, [], 1, 'PINs are set by the person at the desk and never imported'],
  [/^(first|given|fore) ?names?$/, [driver('name', 1)], 0.95, 'the first part of a person’s name'],
  [/^(last|family|sur) ?names?$/, [driver('name', 2)], 0.95, 'the last part of a person’s name'],
  [/^(card|fob|key ?fob|rfid|fuel card)( ?(type|kind))$/, [card('kind')], 0.9, 'the kind of credential'],
  [
    /^(card|fob|key ?fob|keyfob|rfid|badge|fuel card|chip|token|credential)( ?(no|nr|num|number|id|code|serial|uid))?$/,
    [card('number')],
    0.95,
    'the number of a card or fob',
  ],
  [/^(card|fob) ?(valid|expiry|expires|exp).*$/, [card('validUntil')], 0.9, 'the last day of the card'],
  [/^(vin|chassis)( ?(no|nr|number))?$/, [vehicle('vin')], 1, 'the vehicle identification number (ISO 3779)'],
  [
    /^(license|licence|registration|reg|number|vehicle|veh|tag)? ?(plate|registration|reg)( ?(no|nr|number))?$/,
    [vehicle('plate')],
    0.95,
    'the registration plate',
  ],
  [/^(license|licence) ?(tag|plate).*$/, [vehicle('plate')], 0.95, 'the registration plate'],
  [
    /^(fuel )?tank( ?(size|capacity|volume))?$|^(fuel )?capacity$/,
    [vehicle('capacity')],
    0.8,
    'what the vehicle’s own tank holds',
  ],
  [/^(odometer|counter|meter|metering)( type| kind)?$/, [vehicle('counter')], 0.6, 'what the vehicle counts'],
  [new RegExp(`^${PERSON} ?${NUMBER}$`), [driver('number')], 0.95, 'the person’s number in the payroll'],
  [new RegExp(`^${PERSON}( ?(full ?)?name)?$`), [driver('name')], 0.9, 'the person’s name'],
  [/^(full ?)?name$/, [driver('name')], 0.8, 'a name; taken for the person’s'],
  [
    new RegExp(`^${UNIT}( ?(no|nr|num|number|id|code|name|description|desc))?$`),
    [vehicle('name')],
    0.9,
    'what the fleet calls the vehicle',
  ],
  [
    /^(cost|profit) ?(centre|center)( ?(no|nr|number|code|name))?$|^gl ?(code|account)$/,
    [driver('costCentre'), vehicle('costCentre')],
    0.85,
    'the cost centre of both',
  ],
  [
    /^(dept|department|division|section|team|crew)( ?(no|nr|number|code|name))?$/,
    [driver('department'), vehicle('department')],
    0.9,
    'the department of both',
  ],
  [
    /^(valid|start|hire|hired|from)( ?(from|date))?$/,
    [driver('validFrom')],
    0.7,
    'the first day on which the person counts',
  ],
  [
    /^(valid ?(until|till|to)|end|expiry|expires|termination|leaving)( ?date)?$/,
    [driver('validUntil')],
    0.7,
    'the last day on which the person counts',
  ],
  [/^(active|status|state)$/, [driver('active')], 0.7, 'whether the person counts'],
];

/** 'Emp. No.' and 'EMP_NO' are 'emp no'; '#' reads as 'no'. */
export const plainHeading = (heading: string): string =>
  heading
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .toLowerCase()
    .replace(/#|№/g, ' no ')
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();

export function meaningOfHeading(heading: string): Meaning | undefined {
  const plain = plainHeading(heading);
  for (const [pattern, to, confidence, what] of RULES)
    if (pattern.test(plain)) return { to, confidence, why: `The heading says it: ${what}.` };
  return undefined;
}

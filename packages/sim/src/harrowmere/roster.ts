import { newRow } from '@fillwright/core/fleet';
import type { Random } from '../random.ts';
import { gallons, type Put } from './yards.ts';

// Coined names: nobody is meant.
const FIRST = [
  'Alda',
  'Brenn',
  'Corvin',
  'Delwyn',
  'Esker',
  'Fenna',
  'Garrol',
  'Hesta',
  'Ivor',
  'Jorrin',
  'Kessa',
  'Lorne',
];
const LAST = ['Amberwick', 'Brakefold', 'Coldrake', 'Dunmarsh', 'Elverstone', 'Farrowby', 'Grindlemoor', 'Hollowgate'];
const MORE = ['Ironfield', 'Kestermoor', 'Larkenhow', 'Millrace', 'Netherby', 'Oakspur', 'Pellowick'];

/** The check digit that makes a number whole (ISO/IEC 7812-1 Annex B). */
export function luhnDigit(payload: string): number {
  let sum = 0;
  for (let i = 0; i < payload.length; i++) {
    const digit = Number(payload[payload.length - 1 - i]);
    const doubled = i % 2 === 0 ? digit * 2 : digit;
    sum += doubled > 9 ? doubled - 9 : doubled;
  }
  return (10 - (sum % 10)) % 10;
}

/** A card number: coined prefix, then a running number, then the check digit. */
export const cardNumber = (n: number): string => {
  const payload = `70088${String(n).padStart(7, '0')}`;
  return `${payload}${luhnDigit(payload)}`;
};

const DEPARTMENTS = ['Streets', 'Water', 'Parks', 'Harbour', 'Workshop', 'Office'] as const;
type Department = (typeof DEPARTMENTS)[number];
const number2 = (n: number) => String(n).padStart(2, '0');

const SITES: Readonly<Record<Department, readonly string[] | null>> = {
  Streets: null,
  Water: ['highfell', 'oxmere-mill'],
  Parks: ['highfell', 'oxmere-mill'],
  Harbour: ['sallow-quay'],
  Workshop: null,
  Office: null,
};
/** What a department's drivers may draw; a vehicle's own allowance holds beside it. */
const DRIVER_ALLOWANCE: Readonly<Record<Department, string>> = {
  Streets: 'any-driver',
  Water: 'any-driver',
  Parks: 'day-shift',
  Harbour: 'any-driver',
  Workshop: 'any-driver',
  Office: 'day-shift',
};

export function putQuestions(put: Put): void {
  put(
    'questions',
    newRow('questions', {
      id: 'odometer',
      prompt: 'Odometer, miles',
      kind: 'odometer',
      mostAdvance: 2_000,
      whenImplausible: 'note',
    }),
  );
  put(
    'questions',
    newRow('questions', {
      id: 'hours',
      prompt: 'Engine hours',
      kind: 'hours',
      digits: 5,
      mostAdvance: 400,
      whenImplausible: 'note',
    }),
  );
  put(
    'questions',
    newRow('questions', {
      id: 'job',
      prompt: 'Job number',
      kind: 'job',
      accepted: ['1100', '1200', '1300', '2100', '2200'],
      digits: 4,
    }),
  );
}

export function putAllowances(put: Put): void {
  const all = ['petrol', 'diesel', 'dyed-diesel', 'def'];
  put(
    'allowances',
    newRow('allowances', { id: 'any-driver', name: 'Any driver', products: all, perFill: gallons(80), fillsPerDay: 6 }),
  );
  put(
    'allowances',
    newRow('allowances', {
      id: 'day-shift',
      name: 'Day shift',
      products: ['petrol', 'diesel', 'def'],
      perFill: gallons(80),
      fillsPerDay: 3,
      times: [{ days: [0, 1, 2, 3, 4, 5], from: 5 * 60, to: 20 * 60 }],
    }),
  );
  put(
    'allowances',
    newRow('allowances', {
      id: 'cars',
      name: 'Cars and vans',
      products: ['petrol'],
      perFill: gallons(18),
      perDay: gallons(30),
      perWeek: gallons(80),
      cutOff: 'share',
      share: 50,
    }),
  );
  put(
    'allowances',
    newRow('allowances', {
      id: 'lorries',
      name: 'Lorries',
      products: ['diesel', 'def'],
      perFill: gallons(80),
      perDay: gallons(140),
      perMonth: gallons(1_800),
    }),
  );
  put(
    'allowances',
    newRow('allowances', {
      id: 'plant',
      name: 'Plant and boats',
      products: ['dyed-diesel', 'def'],
      perFill: gallons(60),
      perDay: gallons(90),
      sites: ['sallow-quay', 'highfell'],
    }),
  );
  put(
    'allowances',
    newRow('allowances', {
      id: 'plant-inland',
      name: 'Plant inland',
      products: ['diesel'],
      perFill: gallons(40),
      perDay: gallons(60),
      sites: ['highfell', 'oxmere-mill'],
      cutOff: 'decline',
    }),
  );
}

/** Sixty drivers, forty-five vehicles and their credentials. */
export function putRoster(put: Put, random: Random): void {
  DEPARTMENTS.forEach((name, i) => {
    // The harbour is a body of its own: it is billed at other prices than the fleet's own people.
    const tier = name === 'Harbour' ? 'partners' : '';
    put(
      'costCentres',
      newRow('costCentres', { id: `cc-${name.toLowerCase()}`, name, code: `${4_100 + i * 10}`, tier }),
    );
  });
  const surnames = [...LAST, ...MORE];
  let card = 1;
  for (let i = 0; i < 60; i++) {
    const department = DEPARTMENTS[i % DEPARTMENTS.length] as Department;
    const id = `driver-${number2(i + 1)}`;
    put(
      'drivers',
      newRow('drivers', {
        id,
        name: `${FIRST[i % FIRST.length]} ${surnames[(i * 7 + Math.floor(i / 12)) % surnames.length]}`,
        number: String(2_001 + i * 3),
        department,
        costCentre: `cc-${department.toLowerCase()}`,
        allowances: [DRIVER_ALLOWANCE[department]],
        sites: SITES[department] === null ? null : [...(SITES[department] ?? [])],
        questions: department === 'Streets' ? ['job'] : [],
        active: i !== 59,
      }),
    );
    if (i === 59) continue;
    put(
      'credentials',
      newRow('credentials', {
        id: `card-${number2(i + 1)}`,
        kind: 'card',
        number: cardNumber(1_000 + 17 * card++),
        driver: id,
      }),
    );
  }
  for (let i = 0; i < 45; i++) {
    const department = DEPARTMENTS[i % DEPARTMENTS.length] as Department;
    const kind =
      department === 'Office' || (department === 'Parks' && i % 2 === 0)
        ? 'car'
        : department === 'Harbour' || i % 9 === 4
          ? 'plant'
          : 'lorry';
    const id = `vehicle-${number2(i + 1)}`;
    put(
      'vehicles',
      newRow('vehicles', {
        id,
        name: `${kind === 'car' ? 'Van' : kind === 'plant' ? 'Loader' : 'Lorry'} ${101 + i}`,
        plate: `HW ${1_001 + i * 11}`,
        department,
        costCentre: `cc-${department.toLowerCase()}`,
        allowances: kind === 'car' ? ['cars'] : kind === 'plant' ? ['plant', 'plant-inland'] : ['lorries'],
        questions: kind === 'plant' ? ['hours'] : ['odometer'],
        counter: kind === 'plant' ? 'hours' : 'odometer',
        // One loader goes on the road, so that dyed fuel in it is something to look at; one lorry is the fire watch's.
        use: kind === 'plant' && i !== 4 ? 'offRoad' : i === 9 ? 'exempt' : 'road',
        capacity: gallons(
          kind === 'car' ? random.whole(14, 18) : kind === 'plant' ? random.whole(30, 60) : random.whole(60, 80),
        ),
      }),
    );
    put(
      'credentials',
      newRow('credentials', {
        id: `fob-${number2(i + 1)}`,
        kind: i % 3 === 0 ? 'fob' : 'card',
        number: i % 3 === 0 ? String(5_000_000 + random.whole(1, 20_000) * 47 + i) : cardNumber(40_000 + 13 * i),
        vehicle: id,
      }),
    );
  }
  // What was lost, what is keyed for want of a card, what was lent for a while.
  put(
    'credentials',
    newRow('credentials', { id: 'card-lost-1', number: cardNumber(90_001), driver: 'driver-05', stopped: true }),
  );
  put(
    'credentials',
    newRow('credentials', { id: 'card-lost-2', number: cardNumber(90_002), vehicle: 'vehicle-08', stopped: true }),
  );
  put('credentials', newRow('credentials', { id: 'keyed-1', kind: 'keyed', number: '640128', driver: 'driver-09' }));
  put('credentials', newRow('credentials', { id: 'keyed-2', kind: 'keyed', number: '640291', vehicle: 'vehicle-12' }));
  put(
    'credentials',
    newRow('credentials', {
      id: 'card-lent',
      number: cardNumber(90_003),
      driver: 'driver-21',
      validFrom: '2026-10-01',
      validUntil: '2027-03-31',
    }),
  );
}

export function putExpectations(put: Put): void {
  put(
    'expectations',
    newRow('expectations', {
      id: 'no-dyed-for-the-office',
      who: 'department',
      whoName: 'Office',
      must: 'never',
      product: 'dyed-diesel',
      wish: 'Nobody of the office ever draws dyed diesel.',
    }),
  );
  put(
    'expectations',
    newRow('expectations', {
      id: 'streets-can-work-at-night',
      who: 'driver',
      whoName: 'driver-01',
      must: 'can',
      product: 'diesel',
      site: 'highfell',
      times: [{ days: [0, 1, 2, 3, 4], from: 22 * 60, to: 5 * 60 }],
      wish: 'Streets must get diesel at Highfell at any hour of the night. Broken on purpose while a day on which Highfell is closed lies ahead, such as 25 December: open it, or agree on less.',
    }),
  );
  put(
    'expectations',
    newRow('expectations', {
      id: 'nobody-more-than-eighty',
      who: 'everyone',
      must: 'atMost',
      quantity: gallons(80),
      wish: 'No fill is larger than eighty gallons.',
    }),
  );
}

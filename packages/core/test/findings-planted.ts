import type { Edit } from '../src/fleet/index.ts';
import { gal, put, set } from './yard.ts';

/** For every check: what to do to a clean yard so that exactly it is found. */
export interface Planted {
  /** Needed first, and no fault by itself. */
  readonly before?: readonly Edit[];
  readonly fault: readonly Edit[];
  /** What else is then true, because of it. */
  readonly also?: readonly string[];
  /** The first record that a finding of the code speaks of. */
  readonly on: string;
}

/** Inches and gallons. */
const rowsOfTable = (...rows: [number, number][]) => ({
  dip: 'in' as const,
  volume: 'gal' as const,
  rows: rows.map(([d, v]): [number, number] => [d * 10_000, v * 10_000]),
});
const one = (on: string, ...fault: Edit[]): Planted => ({ on, fault });
const hose3 = (given: Record<string, unknown> = {}) =>
  put('hoses', {
    id: 'hose-3',
    site: 'north',
    number: 3,
    channel: 3,
    island: 'island-1',
    pump: 'pump-diesel',
    terminals: ['terminal-1'],
    product: 'diesel',
    flow: gal(5),
    mostPerFill: gal(40),
    ...given,
  });
const south = [
  put('sites', { id: 'south', name: 'South yard', zone: 'America/Denver' }),
  put('islands', { id: 'island-s', site: 'south', name: 'Island 1' }),
  put('tanks', { id: 'tank-s', site: 'south', name: 'Tank 1', product: 'diesel' }),
  put('pumps', { id: 'pump-s', site: 'south', name: 'Pump 1', tanks: ['tank-s'] }),
  put('terminals', { id: 'terminal-s', site: 'south', island: 'island-s', name: 'Terminal 1' }),
  put('hoses', {
    id: 'hose-s',
    site: 'south',
    island: 'island-s',
    pump: 'pump-s',
    terminals: ['terminal-s'],
    product: 'diesel',
  }),
];
const driver2 = (given: Record<string, unknown> = {}) => [
  put('drivers', { id: 'd-2', name: 'Rowan Hale', number: '1002', allowances: ['day-crew'], ...given }),
  put('credentials', { id: 'c-3', number: '70003', driver: 'd-2' }),
];
const vehicle2 = (given: Record<string, unknown> = {}) => [
  put('vehicles', { id: 'v-2', name: 'Lorry 2', plate: 'LK-102', allowances: ['vans'], ...given }),
  put('credentials', { id: 'c-4', number: '70004', vehicle: 'v-2' }),
];
const dyed = [
  put('products', { id: 'dyed', name: 'Dyed diesel', kind: 'dyed', short: 'DYED' }),
  put('prices', { id: 'dyed-2026', product: 'dyed', from: '2026-01-01', price: 30_000 }),
  put('tanks', { id: 'tank-dyed', site: 'north', name: 'Tank 3', product: 'dyed' }),
  put('pumps', { id: 'pump-dyed', site: 'north', name: 'Pump 3', tanks: ['tank-dyed'] }),
];
const asked = (given: Record<string, unknown>) => [
  put('questions', { id: 'q-2', prompt: 'Job?', kind: 'job', ...given }),
  set('sites', 'north', { questions: ['odometer', 'q-2'] }),
];
const wish = (given: Record<string, unknown>) => put('expectations', { id: 'wish-1', wish: 'As agreed', ...given });

const shown = (field: string) => ({ field, align: 'right' });
const said = (text: string) => ({ words: { en: text, es: text, fr: text }, align: 'centre' });
const receipt = (first: object) => [
  [first],
  ...['time', 'product', 'quantity', 'price', 'amount'].map((field) => [shown(field)]),
];

export const planted: Readonly<Record<string, Planted>> = {
  F101: one('d-1', set('drivers', 'd-1', { costCentre: 'gone' }), set('vehicles', 'v-1', { costCentre: 'haulage' })),
  F102: { before: [hose3()], on: 'hose-1', fault: [set('hoses', 'hose-3', { channel: 1 })] },
  F103: { before: [hose3()], on: 'hose-1', fault: [set('hoses', 'hose-3', { number: 1 })] },
  F104: {
    before: [hose3()],
    on: 'hose-3',
    fault: [set('hoses', 'hose-3', { product: 'petrol', mostPerFill: gal(20) })],
  },
  F105: one('pump-diesel', set('pumps', 'pump-diesel', { tanks: ['tank-diesel', 'tank-petrol'] })),
  F106: one('hose-1', set('hoses', 'hose-1', { longest: 4 })),
  F107: one('hose-2', set('hoses', 'hose-2', { flow: gal(11) })),
  F108: one('hose-1', set('hoses', 'hose-1', { flow: gal(25) })),
  F109: one('pump-diesel', hose3({ mostPerFill: gal(40) })),
  F110: { before: south, on: 'pump-s', fault: [set('pumps', 'pump-s', { tanks: ['tank-s', 'tank-diesel'] })] },
  F111: one('island-2', put('islands', { id: 'island-2', site: 'north', name: 'Island 2' })),
  F112: one('tank-3', put('tanks', { id: 'tank-3', site: 'north', name: 'Tank 3', product: 'diesel' })),
  F113: {
    before: [hose3({ pump: 'pump-petrol', product: 'petrol', mostPerFill: gal(20) })],
    on: 'pump-3',
    fault: [put('pumps', { id: 'pump-3', site: 'north', name: 'Pump 3' }), set('hoses', 'hose-3', { pump: 'pump-3' })],
  },
  F114: { before: [hose3()], on: 'hose-3', fault: [set('hoses', 'hose-3', { terminals: [] })] },
  F115: one(
    'terminal-2',
    put('terminals', { id: 'terminal-2', site: 'north', island: 'island-1', name: 'Terminal 2' }),
  ),
  F116: one('tank-diesel', set('tanks', 'tank-diesel', { capacity: 0 })),
  F117: one('tank-diesel', set('tanks', 'tank-diesel', { low: gal(9500) })),
  F118: one('tank-diesel', set('tanks', 'tank-diesel', { safeFill: 96 })),
  F119: one('pump-3', put('pumps', { id: 'pump-3', site: 'north', name: 'Pump 3', tanks: ['tank-diesel'] })),
  F120: one('south', put('sites', { id: 'south', name: 'South yard' })),
  F121: one('north', set('sites', 'north', { zone: 'Central time' })),
  F122: { before: south, on: 'north', fault: [set('sites', 'south', { name: 'north  Yard' })] },
  F123: one('tank-diesel', set('tanks', 'tank-petrol', { name: 'tank 1' })),
  F124: one('hose-2', set('hoses', 'hose-2', { noPulse: 600 })),
  F125: one('tank-petrol', set('tanks', 'tank-petrol', { low: 0 })),
  F135: one(
    'tank-diesel',
    set('tanks', 'tank-diesel', { chart: rowsOfTable([0, 0], [10, 50], [20, 40], [96, 10_000]) }),
  ),
  F136: one('tank-diesel', set('tanks', 'tank-diesel', { chart: rowsOfTable([0, 0], [80, 9_000]) })),
  F137: one(
    'tank-diesel',
    set('tanks', 'tank-diesel', {
      diameter: 96 * 25_400,
      length: 319 * 25_400,
      chart: rowsOfTable([0, 0], [24, 2_500], [96, 10_000]),
    }),
  ),
  F138: one('tank-diesel', set('tanks', 'tank-diesel', { diameter: 2_438_400 })),
  F126: one('hose-1', set('hoses', 'hose-1', { pulses: 9_999 })),
  F127: one('north', set('sites', 'north', { closed: ['2026-05-31', '2026-12-25'] })),
  F128: one('day-crew', set('allowances', 'day-crew', { products: ['diesel', 'diesel'] })),
  F129: one('kerosene', put('products', { id: 'kerosene', name: 'Kerosene', kind: 'other', short: 'KEROSENE' })),
  F130: { ...one('hose-3', ...dyed, hose3({ pump: 'pump-dyed', product: 'dyed' })), also: ['F134'] },
  F131: one('terminal-1', set('terminals', 'terminal-1', { baud: 9_500 })),
  F132: { also: ['F134'], before: [hose3()], on: 'hose-3', fault: [set('hoses', 'hose-3', { mostPerFill: 99_999 })] },
  F133: {
    before: [
      put('islands', { id: 'island-2', site: 'north', name: 'Island 2' }),
      hose3({ island: 'island-2' }),
      hose3({ id: 'hose-4', number: 4, channel: 4, island: 'island-2' }),
      put('terminals', { id: 'terminal-2', site: 'north', island: 'island-2', name: 'Terminal 2' }),
      set('hoses', 'hose-3', { terminals: ['terminal-2'] }),
      set('hoses', 'hose-4', { terminals: ['terminal-2'] }),
    ],
    on: 'hose-4',
    fault: [set('hoses', 'hose-4', { terminals: ['terminal-1'] })],
  },
  F134: {
    on: 'hose-2',
    fault: [set('drivers', 'd-1', { allowances: ['day-crew'] })],
    also: ['F217', 'F242'],
  },
  F201: {
    ...one(
      'day-crew',
      set('hoses', 'hose-2', { active: false }),
      set('allowances', 'day-crew', { products: ['diesel', 'petrol'] }),
      set('allowances', 'vans', { products: ['diesel'] }),
    ),
    also: ['F242'],
  },
  F202: { ...one('d-1', set('credentials', 'c-1', { stopped: true }), ...driver2()), also: ['F134', 'F242'] },
  F203: {
    before: [
      ...south,
      ...driver2(),
      put('allowances', { id: 'petrol-only', name: 'Petrol', products: ['petrol'] }),
      set('vehicles', 'v-1', { allowances: ['petrol-only', 'vans'] }),
    ],
    on: 'd-2',
    fault: [set('drivers', 'd-2', { allowances: ['petrol-only'], sites: ['south'] })],
  },
  F204: {
    before: [
      ...south,
      ...driver2(),
      ...vehicle2({ allowances: [], sites: ['south'] }),
      set('vehicles', 'v-1', { sites: ['north'] }),
    ],
    on: 'd-2',
    fault: [set('drivers', 'd-2', { allowances: [], sites: ['south'] })],
  },
  F205: {
    before: [...south, ...driver2(), set('vehicles', 'v-1', { sites: ['north'] })],
    on: 'd-2',
    fault: [set('drivers', 'd-2', { sites: ['south'] })],
  },
  F206: {
    ...one('c-1', put('credentials', { id: 'c-9', number: '70001 '.trim(), driver: 'd-1' })),
    also: ['F242', 'F243'],
  },
  F207: one('c-1', set('credentials', 'c-1', { number: '4000001234561' })),
  F208: one('c-9', put('credentials', { id: 'c-9', number: '70009' })),
  F209: one('c-1', set('credentials', 'c-1', { number: '7000A' })),
  F210: one('v-1', set('vehicles', 'v-1', { vin: 'SGZCZ43D13S812715' })),
  F211: one('v-1', set('vehicles', 'v-1', { vin: '1G4AH59H45GI18341' })),
  F212: { before: driver2(), on: 'd-1', fault: [set('drivers', 'd-2', { number: ' 1001' })] },
  F213: { before: vehicle2(), on: 'v-1', fault: [set('vehicles', 'v-2', { plate: 'lk 101' })] },
  F214: {
    before: [...vehicle2(), set('vehicles', 'v-1', { vin: '1G4AH59H45G118341' })],
    on: 'v-1',
    fault: [set('vehicles', 'v-2', { vin: '1G4AH59H45G118341' })],
  },
  F215: {
    before: [wish({ who: 'driver', whoName: 'd-1' })],
    on: 'wish-1',
    fault: [set('expectations', 'wish-1', { times: [] })],
  },
  F216: {
    before: [
      ...driver2(),
      put('allowances', { id: 'night', name: 'Night', products: ['diesel'], perFill: gal(30) }),
      set('drivers', 'd-2', { allowances: ['night'] }),
    ],
    on: 'day-crew',
    fault: [
      set('allowances', 'night', {
        perFill: gal(40),
        perDay: gal(80),
        times: [{ days: [0, 1, 2, 3, 4], from: 360, to: 1080 }],
      }),
    ],
  },
  F217: one('spare', put('allowances', { id: 'spare', name: 'Spare', products: ['diesel'], perFill: gal(7) })),
  F218: one('day-crew', set('allowances', 'day-crew', { perDay: gal(30) })),
  F219: one('day-crew', set('allowances', 'day-crew', { fillsPerDay: 1 })),
  F220: {
    before: driver2(),
    on: 'spare',
    fault: [
      put('allowances', { id: 'spare', name: 'Spare', products: ['diesel'], fillsPerDay: 0 }),
      set('drivers', 'd-2', { allowances: ['spare', 'day-crew'] }),
    ],
  },
  F221: one('day-crew', set('allowances', 'day-crew', { cutOff: 'share', share: 0 })),
  F222: {
    before: driver2(),
    on: 'spare',
    fault: [
      put('allowances', { id: 'spare', name: 'Spare', products: ['diesel'], perFill: 99_999 }),
      set('drivers', 'd-2', { allowances: ['spare', 'day-crew'] }),
    ],
  },
  F223: { on: 'hose-1', fault: [set('hoses', 'hose-1', { mostPerFill: gal(35) })], also: ['F242'] },
  F224: { also: ['F243'], before: vehicle2(), on: 'v-2', fault: [set('vehicles', 'v-2', { capacity: 0 })] },
  F225: one('v-1', set('vehicles', 'v-1', { capacity: gal(61) })),
  F226: one('d-1', set('vehicles', 'v-1', { department: 'haulage ' })),
  F227: {
    before: south,
    on: 'south',
    fault: [set('drivers', 'd-1', { sites: ['north'] }), set('vehicles', 'v-1', { sites: ['north'] })],
  },
  F228: {
    ...one('c-1', set('credentials', 'c-1', { validFrom: '2026-12-02', validUntil: '2026-12-01' })),
    also: ['F242', 'F243'],
  },
  F229: { ...one('d-1', set('drivers', 'd-1', { validUntil: '2026-05-31' })), also: ['F242', 'F243'] },
  F230: { before: driver2(), on: 'c-3', fault: [set('drivers', 'd-2', { active: false })] },
  F231: one('north', set('sites', 'north', { identify: 'vehicle' })),
  F232: {
    before: [set('sites', 'north', { pin: false })],
    on: 'c-1',
    fault: [set('credentials', 'c-1', { vehicle: 'v-1' })],
  },
  F233: one('spare', put('costCentres', { id: 'spare', name: 'Spare', code: '200' })),
  F234: {
    before: [
      put('costCentres', { id: 'vans', name: 'Vans', code: '200' }),
      set('vehicles', 'v-1', { costCentre: 'vans' }),
    ],
    on: 'haulage',
    fault: [set('costCentres', 'vans', { code: '100' })],
  },
  F235: {
    before: [
      ...vehicle2(),
      put('questions', { id: 'hours', prompt: 'Hours?', kind: 'hours' }),
      set('sites', 'north', { questions: ['hours'] }),
      set('drivers', 'd-1', { questions: ['odometer'] }),
    ],
    on: 'v-2',
    fault: [set('vehicles', 'v-2', { questions: ['hours'] })],
  },
  F236: one('wish-1', wish({ who: 'department', whoName: 'Night shift' })),
  F290: one('wish-1', wish({ who: 'nobodyBut', whoName: 'Haulage', must: 'never' })),
  F237: one('wish-1', wish({ must: 'atMost' })),
  F238: { before: driver2(), on: 'd-2', fault: [set('drivers', 'd-2', { sites: [] })] },
  F239: {
    before: driver2(),
    on: 'spare',
    fault: [
      put('allowances', { id: 'spare', name: 'Spare' }),
      set('drivers', 'd-2', { allowances: ['spare', 'day-crew'] }),
    ],
  },
  F240: {
    before: [
      ...dyed,
      hose3({ pump: 'pump-dyed', product: 'dyed' }),
      ...driver2(),
      put('allowances', { id: 'plant', name: 'Plant', products: ['dyed'] }),
      set('drivers', 'd-2', { allowances: ['plant', 'day-crew'] }),
    ],
    on: 'v-1',
    fault: [set('vehicles', 'v-1', { allowances: ['vans', 'plant'] })],
  },
  F241: {
    before: [
      ...driver2(),
      put('allowances', { id: 'spare', name: 'Spare', products: ['diesel'], perFill: gal(60) }),
      set('drivers', 'd-2', { allowances: ['spare'] }),
      put('allowances', { id: 'night', name: 'Night', products: ['diesel'], perFill: gal(30) }),
      put('drivers', { id: 'd-3', name: 'Sage Orr', number: '1003', allowances: ['night'] }),
      put('credentials', { id: 'c-5', number: '70005', driver: 'd-3' }),
    ],
    on: 'night',
    fault: [set('drivers', 'd-3', { allowances: ['night', 'spare'] })],
  },
  F242: { on: 'vans', fault: [set('vehicles', 'v-1', { capacity: gal(45) })] },
  F243: {
    before: [
      ...driver2(),
      put('allowances', {
        id: 'night',
        name: 'Night',
        products: ['diesel'],
        perFill: gal(30),
        times: [{ days: [0], from: 0, to: 360 }],
      }),
      set('drivers', 'd-2', { allowances: ['night'] }),
      set('vehicles', 'v-1', { allowances: ['vans'] }),
    ],
    on: 'd-2',
    fault: [set('allowances', 'vans', { times: [{ days: [0, 1, 2, 3, 4], from: 360, to: 1080 }] })],
    also: ['F242'],
  },
  F244: {
    before: [...south, set('allowances', 'day-crew', { sites: ['north'] })],
    on: 'vans',
    fault: [set('allowances', 'vans', { perDay: gal(90) })],
  },
  F245: one('c-9', put('credentials', { id: 'c-9', number: '070001', driver: 'd-1', stopped: true })),
  F246: {
    before: [
      ...driver2(),
      put('allowances', { id: 'spare', name: 'Spare', products: ['petrol'], perFill: gal(30) }),
      put('allowances', { id: 'yard', name: 'Yard', products: ['petrol'], perFill: gal(40) }),
      set('drivers', 'd-2', { allowances: ['spare'] }),
      set('drivers', 'd-1', { allowances: ['day-crew', 'yard'] }),
    ],
    on: 'yard',
    fault: [set('allowances', 'spare', { perFill: gal(42) })],
  },
  F301: one('terminal-1', set('terminals', 'terminal-1', { idle: ['Present your card here'] })),
  F302: one('terminal-1', set('terminals', 'terminal-1', { idle: ['a', 'b', 'c', 'd', 'e'] })),
  F303: one('terminal-1', set('terminals', 'terminal-1', { receiptHead: ['x'.repeat(41)] })),
  F304: one('terminal-1', set('terminals', 'terminal-1', { paper: null, receiptFoot: ['Drive safely'] })),
  F305: one('terminal-1', set('terminals', 'terminal-1', { idle: ['Grüße'] })),
  F306: one('odometer', set('questions', 'odometer', { prompt: 'What does the odometer say?' })),
  F307: one('diesel', set('products', 'diesel', { short: 'DIESEL FOR ALL' })),
  F308: one('diesel', set('products', 'diesel', { short: '' })),
  F309: one('odometer', set('sites', 'north', { questions: [] })),
  F310: { ...one('q-2', ...asked({ kind: 'text' })), also: ['F243'] },
  F311: one('q-2', ...asked({ accepted: ['A1', 'TOO-LONG'] })),
  F312: one('q-2', ...asked({ accepted: ['A1', 'a1 '] })),
  F313: one('odometer', set('questions', 'odometer', { leastAdvance: 2, mostAdvance: 1 })),
  F314: one('q-2', ...asked({ mostAdvance: 1 })),
  F315: one('diesel', set('prices', 'diesel-2026', { from: '2026-06-02' })),
  F316: one('diesel-2026', put('prices', { id: 'diesel-again', product: 'diesel', from: '2026-01-01', price: 1 })),
  F317: one('petrol-2026', set('prices', 'petrol-2026', { price: 0 })),
  F318: one('odometer', set('questions', 'odometer', { prompt: ' ' })),
  F320: one('terminal-1', set('terminals', 'terminal-1', { idleLayout: [[said('Fuel for people who work here')]] })),
  F321: one(
    'terminal-1',
    set('terminals', 'terminal-1', { receiptLayout: receipt(said('A word that is far too long for this paper')) }),
  ),
  F322: one('terminal-1', set('terminals', 'terminal-1', { flowingLayout: [[shown('hose'), shown('quantity')]] })),
  F323: one(
    'terminal-1',
    set('terminals', 'terminal-1', { idleLayout: [[{ words: { en: 'Hello' }, align: 'left' }]] }),
  ),
  F324: one('terminal-1', set('terminals', 'terminal-1', { dots: 'even', dotsAcross: 240 })),
  F319: one('diesel', set('products', 'petrol', { short: 'diesel' })),
};

import { type AnyRow, newRow, startsFor, type TableName } from '@fillwright/core/fleet';
import { NANOLITRES_PER_GALLON } from '@fillwright/core/units';

/** US gallons to microlitres, rounded once. */
export const gallons = (n: number): number => Math.round((n * Number(NANOLITRES_PER_GALLON)) / 1000);

export type Put = (table: TableName, row: AnyRow) => void;

type ProductId = 'petrol' | 'diesel' | 'dyed-diesel' | 'def';
const KIND = { petrol: 'petrol', diesel: 'diesel', 'dyed-diesel': 'dyed', def: 'def' } as const;

interface Yard {
  readonly id: string;
  readonly name: string;
  readonly address: string;
  readonly zone: string;
  readonly closed: readonly string[];
  readonly identify: 'driver' | 'vehicle' | 'either' | 'both';
  readonly islands: readonly string[];
  readonly tanks: readonly { id: string; name: string; product: ProductId; gallons: number }[];
  readonly pumps: readonly { id: string; name: string; kind: 'submersible' | 'suction'; tanks: readonly string[] }[];
  /** Pump, island and pulses per gallon of hose 1, 2, ... */
  readonly hoses: readonly (readonly [pump: string, island: string, pulsesPerGallon: number])[];
}

export const YARDS: readonly Yard[] = [
  {
    id: 'highfell',
    name: 'Highfell Yard',
    address: '1 Gantry Lane, Highfell',
    zone: 'America/Denver',
    closed: ['2026-12-25', '2027-01-01'],
    identify: 'both',
    islands: ['North', 'South'],
    tanks: [
      { id: 'highfell-t1', name: 'T1 petrol', product: 'petrol', gallons: 8_000 },
      { id: 'highfell-t2', name: 'T2 diesel', product: 'diesel', gallons: 10_000 },
      { id: 'highfell-t3', name: 'T3 diesel', product: 'diesel', gallons: 10_000 },
      { id: 'highfell-t4', name: 'T4 exhaust fluid', product: 'def', gallons: 2_000 },
    ],
    pumps: [
      { id: 'highfell-p1', name: 'P1 petrol', kind: 'submersible', tanks: ['highfell-t1'] },
      { id: 'highfell-p2', name: 'P2 diesel', kind: 'submersible', tanks: ['highfell-t2', 'highfell-t3'] },
      { id: 'highfell-p3', name: 'P3 exhaust fluid', kind: 'suction', tanks: ['highfell-t4'] },
    ],
    hoses: [
      ['highfell-p1', 'north', 100],
      ['highfell-p2', 'north', 100],
      ['highfell-p2', 'south', 100],
      ['highfell-p3', 'south', 200],
    ],
  },
  {
    id: 'sallow-quay',
    name: 'Sallow Quay',
    address: 'Basin Road, Sallow Quay',
    zone: 'America/New_York',
    closed: ['2026-12-25'],
    identify: 'both',
    islands: ['Quayside'],
    tanks: [
      { id: 'sallow-quay-t1', name: 'T1 diesel', product: 'diesel', gallons: 12_000 },
      { id: 'sallow-quay-t2', name: 'T2 dyed diesel', product: 'dyed-diesel', gallons: 6_000 },
    ],
    pumps: [
      { id: 'sallow-quay-p1', name: 'P1 diesel', kind: 'submersible', tanks: ['sallow-quay-t1'] },
      { id: 'sallow-quay-p2', name: 'P2 dyed diesel', kind: 'suction', tanks: ['sallow-quay-t2'] },
    ],
    hoses: [
      ['sallow-quay-p1', 'quayside', 100],
      ['sallow-quay-p1', 'quayside', 100],
      ['sallow-quay-p2', 'quayside', 50],
    ],
  },
  {
    id: 'oxmere-mill',
    name: 'Oxmere Mill',
    address: 'Mill Hill, Oxmere',
    zone: 'Europe/London',
    closed: ['2026-12-25', '2026-12-26'],
    identify: 'driver',
    islands: ['Mill'],
    tanks: [
      { id: 'oxmere-mill-t1', name: 'T1 petrol', product: 'petrol', gallons: 4_000 },
      { id: 'oxmere-mill-t2', name: 'T2 diesel', product: 'diesel', gallons: 6_000 },
    ],
    pumps: [
      { id: 'oxmere-mill-p1', name: 'P1 petrol', kind: 'suction', tanks: ['oxmere-mill-t1'] },
      { id: 'oxmere-mill-p2', name: 'P2 diesel', kind: 'suction', tanks: ['oxmere-mill-t2'] },
    ],
    hoses: [
      ['oxmere-mill-p1', 'mill', 100],
      ['oxmere-mill-p2', 'mill', 100],
    ],
  },
];

export function putProducts(put: Put): void {
  put('products', newRow('products', { id: 'petrol', name: 'Petrol', kind: 'petrol', short: 'PETROL' }));
  put('products', newRow('products', { id: 'diesel', name: 'Diesel', kind: 'diesel', short: 'DIESEL' }));
  put(
    'products',
    newRow('products', {
      id: 'dyed-diesel',
      name: 'Dyed diesel, nontaxable use only',
      kind: 'dyed',
      short: 'DYED DIESEL',
    }),
  );
  put('products', newRow('products', { id: 'def', name: 'Diesel exhaust fluid', kind: 'def', short: 'DEF' }));
  const price = (id: string, product: string, from: string, perGallon: number, site: string | null = null, tier = '') =>
    put('prices', newRow('prices', { id, product, from, price: perGallon, site, tier }));
  price('petrol-2026', 'petrol', '2026-01-01', 32_900);
  price('diesel-2026', 'diesel', '2026-01-01', 38_450);
  price('diesel-2027', 'diesel', '2027-01-01', 39_200);
  price('dyed-2026', 'dyed-diesel', '2026-01-01', 31_250);
  price('def-2026', 'def', '2026-01-01', 29_900);
  price('diesel-oxmere-2026', 'diesel', '2026-01-01', 41_800, 'oxmere-mill');
  price('dyed-autumn-2026', 'dyed-diesel', '2026-10-01', 31_900);
  price('diesel-partners-2026', 'diesel', '2026-01-01', 40_950, null, 'partners');
  price('dyed-partners-2026', 'dyed-diesel', '2026-01-01', 33_750, null, 'partners');
}

/** As the simulated yards have their tanks: 2.4 m across, flat ends, as long as the capacity asks. */
function lyingBody(capacity: number): { diameter: number; length: number } {
  const diameter = 2_400_000;
  return { diameter, length: Math.round((capacity * 1e9) / (Math.PI * (diameter / 2) ** 2)) };
}

export function putYards(put: Put): void {
  for (const yard of YARDS) {
    put(
      'sites',
      newRow('sites', {
        id: yard.id,
        name: yard.name,
        address: yard.address,
        zone: yard.zone,
        closed: [...yard.closed],
        identify: yard.identify,
        jurisdiction: yard.id === 'highfell' ? 'Fellshire' : 'Merewold',
      }),
    );
    for (const name of yard.islands) {
      const island = `${yard.id}-${name.toLowerCase()}`;
      put('islands', newRow('islands', { id: island, site: yard.id, name }));
      put(
        'terminals',
        newRow('terminals', {
          id: `${island}-terminal`,
          site: yard.id,
          island,
          name: `${name} terminal`,
          columns: 24,
          paper: 32,
          idle: [yard.name, 'Present your card'],
          receiptHead: ['Harrowmere Works Fleet', yard.name],
          receiptFoot: ['No smoking. Engine off.'],
        }),
      );
    }
    for (const t of yard.tanks)
      put(
        'tanks',
        newRow('tanks', {
          id: t.id,
          site: yard.id,
          name: t.name,
          product: t.product,
          capacity: gallons(t.gallons),
          low: gallons(t.gallons / 20),
          ...lyingBody(gallons(t.gallons)),
        }),
      );
    const productOf = (pump: string) => {
      const first = yard.pumps.find((p) => p.id === pump)?.tanks[0];
      return yard.tanks.find((t) => t.id === first)?.product ?? 'diesel';
    };
    for (const p of yard.pumps)
      put(
        'pumps',
        newRow('pumps', {
          id: p.id,
          site: yard.id,
          name: p.name,
          kind: p.kind,
          tanks: [...p.tanks],
          flow: startsFor(KIND[productOf(p.id)]).flow,
        }),
      );
    yard.hoses.forEach(([pump, island, pulsesPerGallon], i) => {
      const product = productOf(pump);
      put(
        'hoses',
        newRow('hoses', {
          id: `${yard.id}-h${i + 1}`,
          site: yard.id,
          number: i + 1,
          island: `${yard.id}-${island}`,
          pump,
          terminals: [`${yard.id}-${island}-terminal`],
          product,
          channel: i + 1,
          pulses: pulsesPerGallon * 1000,
          ...startsFor(KIND[product]),
        }),
      );
    });
  }
}

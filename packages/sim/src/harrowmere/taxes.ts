/** Taxes of the demo's world: invented, like everything in it. Rates in 1/10,000 of the currency a gallon, or of a percent. */
export const DEMO_TAXES = [
  {
    name: 'Road levy',
    products: ['diesel', 'dyed-diesel'],
    sites: null,
    from: '2026-01-01',
    kind: 'volume' as const,
    rate: 2_150,
    inPrice: true,
    exempt: ['offRoad' as const, 'exempt' as const],
  },
  {
    name: 'Road levy',
    products: ['petrol'],
    sites: null,
    from: '2026-01-01',
    kind: 'volume' as const,
    rate: 1_650,
    inPrice: true,
    exempt: ['exempt' as const],
  },
  {
    name: 'Fell charge',
    products: ['petrol', 'diesel'],
    sites: ['highfell'],
    from: '2026-07-01',
    kind: 'percent' as const,
    rate: 15_000,
    inPrice: false,
    exempt: [],
  },
];

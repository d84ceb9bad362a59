/**
 * Ways to state the density of a petroleum liquid at 60 °F, and the product groups of API MPMS 11.1-2004 with their constants.
 * Constants: restated alike in four independent public programs for API MPMS 11.1.6.1, Table 6.
 */

/** Density of water at 60 °F in kg/m3 that API MPMS 11.1.5.1 (2004) uses for API gravity and relative density. */
export const WATER_60F = 999.016;

/** API gravity at 60 °F to kg/m3: 141.5 / (API + 131.5) x 999.016. Domain: above -131.5. */
export const densityOfApi = (api: number): number => (141.5 / (api + 131.5)) * WATER_60F;

/** kg/m3 at 60 °F to API gravity. */
export const apiOfDensity = (kgPerM3: number): number => (141.5 * WATER_60F) / kgPerM3 - 131.5;

/** Relative density 60/60 °F to kg/m3. */
export const densityOfRelative = (relative: number): number => relative * WATER_60F;

export type ProductGroup = 'crude' | 'gasoline' | 'transition' | 'jet' | 'fuel oil' | 'lube';

/** What the liquid is: a refined product falls into its group by density alone, so a light diesel may well be in the jet group. */
export type Commodity = 'crude' | 'refined' | 'lube';

/** K0, K1, K2 of alpha = K0/d^2 + K1/d + K2, per °F, d in kg/m3. */
export const CONSTANTS: Readonly<Record<ProductGroup, readonly [k0: number, k1: number, k2: number]>> = {
  crude: [341.0957, 0, 0],
  gasoline: [192.4571, 0.2438, 0],
  transition: [1489.067, 0, -0.0018684],
  jet: [330.301, 0, 0],
  'fuel oil': [103.872, 0.2701, 0],
  lube: [0, 0.34878, 0],
};

/** The densities at 60 °F for which the method holds, kg/m3; for lubricating oil from memory. */
export const DENSITY_RANGE: Readonly<Record<Commodity, readonly [low: number, high: number]>> = {
  crude: [610.6, 1163.5],
  refined: [610.6, 1163.5],
  lube: [800.9, 1163.5],
};

/** The group of a commodity with this density at 60 °F, kg/m3. */
export function groupOf(commodity: Commodity, density60: number): ProductGroup {
  if (commodity !== 'refined') return commodity;
  if (density60 < 770.352) return 'gasoline';
  if (density60 < 787.5195) return 'transition';
  return density60 < 838.3127 ? 'jet' : 'fuel oil';
}

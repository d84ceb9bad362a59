export {
  apiOfDensity,
  type Commodity,
  DENSITY_RANGE,
  densityOfApi,
  densityOfRelative,
  groupOf,
  type ProductGroup,
  WATER_60F,
} from './density.ts';
export {
  ALPHA_E10,
  biodieselTo60F,
  ethanolBlendTo60F,
  type Factor,
  fuelEthanolTo60F,
  specialTo60F,
} from './other-fuels.ts';
export { celsiusOfFahrenheit, fahrenheitOfCelsius, scale68 } from './temperature-scale.ts';
export {
  type Correction,
  correctedVolume,
  correctTo15C,
  correctTo60F,
  densityAt60F,
  roundHalfEven,
} from './volume-correction.ts';
export { factor6B, factor54B } from './volume-correction-1980.ts';

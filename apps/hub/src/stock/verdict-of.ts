import type { TankStock, TankVerdict } from '@fillwright/wire';

/** A tank's wet stock in a line. */
export const verdictOf = ({ tank, to, model, noModel, losses, water, month }: TankStock): TankVerdict => ({
  ...{ tank, to, noModel, losses },
  verdict: model?.verdict ?? null,
  why: model?.why ?? null,
  rate: model?.rate ?? null,
  margin: model?.margin ?? null,
  waterRises: water !== null,
  monthWithin: month?.within ?? null,
});

import type { FlagKind } from '../flag.ts';
import { counterBack, counterJump } from './counter-odd.ts';
import { defShare } from './def-share.ts';
import { looseFlow } from './loose-flow.ts';
import { offHistory } from './off-history.ts';
import { outOfHours } from './out-of-hours.ts';
import { overTank } from './over-tank.ts';
import { splitFills } from './split-fills.ts';
import { twoPlaces } from './two-places.ts';
import { wrongProduct } from './wrong-product.ts';

/** Every kind of flag, by code. */
export const FLAG_KINDS: readonly FlagKind[] = [
  overTank,
  counterBack,
  counterJump,
  offHistory,
  twoPlaces,
  outOfHours,
  splitFills,
  wrongProduct,
  defShare,
  looseFlow,
];

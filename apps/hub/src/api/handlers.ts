import { compareHandlers } from './compare.ts';
import { draftHandlers } from './draft.ts';
import { flagHandlers } from './flags.ts';
import { gapHandlers } from './gaps.ts';
import { importHandlers } from './imports.ts';
import { ledgerHandlers } from './ledger.ts';
import { moneyHandlers } from './money.ts';
import { officeKeyHandlers } from './office-key.ts';
import { peopleHandlers } from './people.ts';
import { provingHandlers } from './proving.ts';
import { reachHandlers } from './reach.ts';
import { releaseHandlers } from './releases.ts';
import type { Handlers } from './route.ts';
import { siteHandlers } from './sites.ts';
import { stickHandlers } from './sticks.ts';
import { stockHandlers } from './stock.ts';
import { waveHandlers } from './waves.ts';
import { worksheetHandlers } from './worksheets.ts';

/** Every route's handler; the type-checker sees that none is missing. */
export const handlers: Handlers = {
  ...peopleHandlers,
  ...draftHandlers,
  ...gapHandlers,
  ...flagHandlers,
  ...stickHandlers,
  ...officeKeyHandlers,
  ...importHandlers,
  ...releaseHandlers,
  ...reachHandlers,
  ...compareHandlers,
  ...siteHandlers,
  ...ledgerHandlers,
  ...waveHandlers,
  ...stockHandlers,
  ...moneyHandlers,
  ...provingHandlers,
  ...worksheetHandlers,
};

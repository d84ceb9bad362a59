import { compare } from './routes/compare.ts';
import { draft } from './routes/draft.ts';
import { flags } from './routes/flags.ts';
import { gaps } from './routes/gaps.ts';
import { imports } from './routes/imports.ts';
import { ledger } from './routes/ledger.ts';
import { money } from './routes/money.ts';
import { officeKeys } from './routes/office-key.ts';
import { people } from './routes/people.ts';
import { provings } from './routes/proving.ts';
import { reach } from './routes/reach.ts';
import { releases } from './routes/releases.ts';
import type { Route } from './routes/route.ts';
import { sites } from './routes/sites.ts';
import { sticks } from './routes/sticks.ts';
import { stock } from './routes/stock.ts';
import { tanks } from './routes/tanks.ts';
import { waves } from './routes/waves.ts';
import { worksheets } from './routes/worksheets.ts';

/** Every route of the hub's API: one table gives validation, types, the OpenAPI document and the desk's client. */
export const ROUTES = {
  ...people,
  ...draft,
  ...gaps,
  ...flags,
  ...sticks,
  ...officeKeys,
  ...imports,
  ...releases,
  ...reach,
  ...compare,
  ...sites,
  ...ledger,
  ...tanks,
  ...waves,
  ...stock,
  ...money,
  ...provings,
  ...worksheets,
} as const satisfies Record<string, Route>;

export type Routes = typeof ROUTES;
export type RouteName = keyof Routes;
export type { Role, Route } from './routes/route.ts';

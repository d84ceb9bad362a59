import type { Problem, Result } from '@fillwright/core/errors';
import type { Fleet } from '@fillwright/core/fleet';
import type { DifferenceReply } from '@fillwright/wire';
import type { App } from '../app.ts';
import type { AskOptions } from '../thread/thread.ts';
import type { Two, Wish } from './question.ts';

/** A fleet that reach is asked of: a name that changes with its content, and the way to it. */
export interface Asked {
  readonly name: string;
  readonly fleet: () => Promise<Fleet>;
}

type Compared = Promise<Result<DifferenceReply, Problem[]>>;

/** What differs between two fleets of a tenant. */
export function fleetsCompared(
  app: App,
  tenant: string,
  before: Asked,
  after: Asked,
  wish: Wish,
  options: AskOptions,
): Compared {
  const two = async (): Promise<Two> => ({ of: 'fleets', before: await before.fleet(), after: await after.fleet() });
  return compared(app, `${tenant} ${before.name} ${after.name}`, two, wish, options);
}

/** What may be drawn at one site of a fleet and not at another. */
export function sitesCompared(
  app: App,
  tenant: string,
  { name, fleet }: Asked,
  sites: readonly [string, string],
  wish: Wish,
  options: AskOptions,
): Compared {
  const [first, second] = sites;
  const two = async (): Promise<Two> => ({ of: 'sites', fleet: await fleet(), first, second });
  return compared(app, `${tenant} ${name} ${JSON.stringify(sites)}`, two, wish, options);
}

/** The fleets are read and sent where the thread does not hold these two already. */
function compared(app: App, which: string, two: () => Promise<Two>, wish: Wish, options: AskOptions): Compared {
  const holds = `${which} ${wish.today}`;
  return app.reach.ask<'difference'>(
    `difference ${holds} ${JSON.stringify([wish.within, wish.week])}`,
    async (held) => ({ kind: 'difference', ...wish, holds, two: held === holds ? null : await two() }),
    options,
  );
}

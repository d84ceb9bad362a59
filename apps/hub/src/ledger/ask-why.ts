import { compile, type DecisionRequest, rightAnswers } from '@fillwright/core/decide';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import type { Fleet } from '@fillwright/core/fleet';
import { cardsFor } from '@fillwright/core/reach';
import { localMoment } from '@fillwright/core/units';
import type { ReplyOf } from '@fillwright/wire';
import type { Released } from '../release/released.ts';
import { siteStatuses } from '../sites/status.ts';
import type { Tx } from '../store/database.ts';
import { knownBefore } from './known-before.ts';
import { type Asking, caseName } from './why-told.ts';
import { zoneOrUtc } from './zones.ts';

export interface Question {
  readonly site: string;
  readonly hose: string;
  readonly at: number;
  readonly card?: string | undefined;
  readonly driver?: string | undefined;
  readonly vehicle?: string | undefined;
  readonly pin: 'right' | 'wrong' | 'locked' | 'notSet';
  readonly cutOff: boolean;
}

/** Somebody who may stand at a hose, to be decided for under what the site says that it runs, with what the ledger has as drawn before. */
export async function askWhy(
  released: Released,
  tx: Tx,
  fleet: string,
  draft: Fleet,
  question: Question,
): Promise<Result<Asking<ReplyOf<'askWhy'>>, Problem[]>> {
  const { site, hose, at, pin, cutOff } = question;
  const running = (await siteStatuses(tx, fleet, draft)).find((s) => s.site === site)?.running ?? null;
  const content = running === null ? undefined : await released.fleet(tx, fleet, running);
  if (running === null || !content) return err([problem('FW-336', { found: site })]);
  const row = content.hoses.get(hose);
  if (!row || row.site !== site) return err([problem('FW-204', { at: { in: 'hoses', row: hose } })]);
  const cards = cardsOf(content, question);
  if (cards.length === 0) return err([problem('FW-338')]);
  const taken = ['answers as right', 'what was drawn before as the ledger has it now'];
  const request: DecisionRequest = { site, hose, at, credentials: cards, pin, answers: {} };
  const usage = await knownBefore(tx, fleet, content, request, cutOff);
  const blank = { fleet: content, request, usage };
  const answers = rightAnswers(blank);
  if (Object.keys(answers).length === 0) taken.shift();
  const base = { ...blank, request: { ...request, answers } };
  return ok({
    base,
    name: caseName(running, base),
    reply: (told) => ({ revision: running, cards, taken, ...told }),
  });
}

/** What was typed as it is; else numbers that present them on that day, or, where none does, any that they have. */
function cardsOf(fleet: Fleet, { site, at, card, driver, vehicle }: Question): string[] {
  const typed = card?.trim();
  if (typed) return [typed];
  const policy = compile(fleet, zoneOrUtc);
  const { day } = localMoment(zoneOrUtc(fleet.sites.get(site)?.zone), at);
  const good = cardsFor(policy, driver ?? null, vehicle ?? null, day);
  if (good.length > 0) return [...good];
  const all = [...fleet.credentials.values()];
  const of = (field: 'driver' | 'vehicle', id: string | undefined) =>
    id === undefined ? [] : (all.find((c) => c[field] === id)?.number ?? []);
  return [...new Set([of('driver', driver), of('vehicle', vehicle)].flat())];
}

import {
  askOf,
  type Decision,
  type DecisionRequest,
  decide,
  LookedAt,
  onRecord,
  type Policy,
  type Usage,
} from '@fillwright/core/decide';
import { priceInForce } from '@fillwright/core/fleet';
import type { DecisionFacts, EventOf, Gathered } from '@fillwright/core/island';
import { localMoment } from '@fillwright/core/units';

/** The machine's two questions, answered by the one decision function. */
export interface Deciding {
  readonly policy: Policy;
  readonly usage: Usage;
  readonly site: string;
  readonly terminal: string;
  readonly at: number;
  /** Why the site decides nothing now, whoever asks. */
  readonly out: 'journal' | 'clock' | 'closed' | undefined;
}

type Asks = Pick<EventOf<'asks'>, 'asks' | 'credentials' | 'driver' | 'vehicle' | 'refused'>;

/** What must still be asked, or the refusal that no answer would change. The hose is not chosen yet, so any of the terminal's counts. */
export function answerAsk(d: Deciding, gathered: Gathered): Asks {
  const credentials = gathered.credentials.map((number) => credentialName(d.policy, number));
  if (d.out) return { asks: [], credentials, refused: { rule: d.out, steps: [] } };
  const looked = new LookedAt(d.usage);
  const decisions = hosesOf(d).map((hose) => decide(d.policy, requestOf(d, hose, gathered), looked));
  const first = decisions[0];
  if (!first) return { asks: [], credentials, refused: { rule: 'hose-known', steps: [] } };
  const who = whoIs(decisions.find((x) => x.driver !== undefined || x.vehicle !== undefined) ?? first);
  const asking = decisions.map(askOf).find((ask) => ask !== null);
  if (asking) return { asks: [asking], credentials, ...who };
  if (decisions.some((x) => x.approved)) return { asks: [], credentials, ...who };
  const { rule } = first.by;
  return {
    asks: [],
    credentials,
    ...who,
    refused: { rule, steps: onRecord(first.steps), asked: looked.asked(gathered) },
  };
}

export function answerDecide(d: Deciding, hose: string, gathered: Gathered): DecisionFacts {
  if (d.out) return { approved: false, rule: d.out, steps: [] };
  const looked = new LookedAt(d.usage);
  const decision = decide(d.policy, requestOf(d, hose, gathered), looked);
  const steps = onRecord(decision.steps);
  if (!decision.approved)
    return { approved: false, rule: decision.by.rule, ...whoIs(decision), steps, asked: looked.asked(gathered) };
  const zone = d.policy.sites.get(d.site)?.zone;
  const { limit, charged, product } = decision;
  return {
    approved: true,
    limit,
    rule: decision.by.rule,
    ...whoIs(decision),
    charged: charged.map(({ holder, allowance }) => ({ holder, allowance })),
    product,
    price: zone ? priceInForce(d.policy.fleet, d.site, product, localMoment(zone, d.at).day) : null,
    steps,
    notes: onRecord(decision.notes),
    cutOff: d.usage.cutOff,
  };
}

function hosesOf({ policy, site, terminal }: Deciding): string[] {
  const here = [...policy.hoses.values()].filter(
    (h) => h.row.site === site && h.row.active && h.terminals.has(terminal),
  );
  return here.sort((a, b) => a.row.number - b.row.number).map((h) => h.row.id);
}

const requestOf = (d: Deciding, hose: string, gathered: Gathered): DecisionRequest => ({
  site: d.site,
  hose,
  terminal: d.terminal,
  at: d.at,
  credentials: gathered.credentials,
  pin: gathered.pin,
  answers: gathered.answers,
});

const whoIs = ({ driver, vehicle }: Decision) => ({
  ...(driver === undefined ? {} : { driver }),
  ...(vehicle === undefined ? {} : { vehicle }),
});

/** A credential's id; of a number that nobody has, only the last four digits go on the record. */
export const credentialName = (policy: Policy, number: string): string =>
  policy.cards.get(number)?.id ?? `unknown-${number.slice(-4)}`;

import { askOf, compile, type DecisionRequest, decide, NO_USAGE, type Policy, ruleOf } from '@fillwright/core/decide';
import type { Fleet } from '@fillwright/core/fleet';
import type { ProofCase } from '@fillwright/wire';
import { zones } from '../ledger/zones.ts';

const CASES = 200;
const EIGHT_WEEKS_MS = 56 * 86_400_000;
const MOST_ANSWERS = 8;

/** A small seeded generator (mulberry32, public domain): the same release has the same proof everywhere. */
function seeded(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = Math.imul(a ^ (a >>> 15), a | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/**
 * Requests that people of this fleet might make at this site, each with what this hub decides, nothing drawn before. Most go on until
 * they can be decided, some stop short or name what is not there. `fleet` is the part that the site runs on.
 */
export function proofOf(fleet: Fleet, site: string, digest: string, from: number): ProofCase[] {
  const policy = compile(fleet, zones);
  const random = seeded(Number.parseInt(digest.slice(0, 8), 16));
  const sorted = (ids: Iterable<string>) => [...ids].sort();
  const world: World = {
    policy,
    site,
    random,
    from,
    hoses: sorted(fleet.hoses.keys()),
    terminals: sorted(fleet.terminals.keys()),
    numbers: sorted(fleet.credentials.keys()).map((id) => fleet.credentials.get(id)?.number ?? ''),
  };
  return Array.from({ length: CASES }, () => caseOf(world));
}

interface World {
  readonly policy: Policy;
  readonly site: string;
  readonly random: () => number;
  readonly from: number;
  readonly hoses: readonly string[];
  readonly terminals: readonly string[];
  readonly numbers: readonly string[];
}

const PINS: readonly DecisionRequest['pin'][] = ['wrong', 'locked', 'notSet'];

function caseOf(world: World): ProofCase {
  const { policy, random } = world;
  const among = <T>(list: readonly T[], otherwise: T): T => list[Math.floor(random() * list.length)] ?? otherwise;
  const hose = random() < 0.04 ? 'none-such' : among(world.hoses, 'none-such');
  const own = policy.fleet.hoses.get(hose)?.terminals ?? [];
  const place = random();
  const terminal = place < 0.7 ? among(own, '') : place < 0.8 ? among(world.terminals, '') : '';
  let request: DecisionRequest = {
    site: world.site,
    hose,
    ...(terminal === '' ? {} : { terminal }),
    at: world.from + Math.floor(random() * EIGHT_WEEKS_MS),
    credentials: [random() < 0.04 ? '0' : among(world.numbers, '0')],
    pin: random() < 0.1 ? among(PINS, 'wrong') : 'notAsked',
    answers: {},
  };
  let decision = decide(policy, request, NO_USAGE);
  for (let i = 0; i < MOST_ANSWERS; i++) {
    const ask = askOf(decision);
    if (!ask || random() < 0.05) break;
    if (ask.ask === 'pin') request = { ...request, pin: 'right' };
    else if (ask.ask === 'credential') {
      if (request.credentials.length > 1) break;
      request = { ...request, credentials: [...request.credentials, partner(world, ask.of, among)] };
    } else {
      const question = policy.fleet.questions.get(ask.question);
      const right = question?.accepted.length ? among(question.accepted, '') : String(1 + Math.floor(random() * 9));
      const answer = random() < 0.08 ? '?' : right;
      request = { ...request, answers: { ...request.answers, [ask.question]: answer } };
    }
    decision = decide(policy, request, NO_USAGE);
  }
  const limit = decision.approved ? decision.limit : null;
  return { request, approved: decision.approved, by: ruleOf(decision), limit };
}

/** A credential of the kind of holder that is still missing, so that many cases come to an approval. */
function partner(
  world: World,
  of: 'driver' | 'vehicle' | 'either',
  among: <T>(list: readonly T[], otherwise: T) => T,
): string {
  for (let i = 0; i < 20; i++) {
    const number = among(world.numbers, '0');
    const card = world.policy.cards.get(number);
    if (!card) continue;
    if (of === 'either' || (of === 'driver' ? card.driver && !card.vehicle : card.vehicle && !card.driver))
      return number;
  }
  return among(world.numbers, '0');
}

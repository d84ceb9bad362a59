import { compile, type DecisionRequest, decide, NO_USAGE, type Policy, type Zones } from '@fillwright/core/decide';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { type Fleet, fromJson } from '@fillwright/core/fleet';
import { planOf, type YardPlan } from '@fillwright/core/island';
import { type Bundle, bundleShape, type ProofCase, type SignedText } from '@fillwright/wire';
import { digestOf } from '@fillwright/wire/keys';
import { z } from 'zod';
import type { OfficeTrust } from '../office/trust.ts';

/** A bundle that this box may run, made ready. */
export interface Checked {
  readonly bundle: Bundle;
  readonly fleet: Fleet;
  readonly policy: Policy;
  readonly plan: YardPlan;
}

export interface Expected {
  readonly office: Pick<OfficeTrust, 'open' | 'openKept'>;
  readonly fleet: string;
  readonly site: string;
  readonly zones: Zones;
}

const proofCase = z.strictObject({
  request: z.strictObject({
    site: z.string(),
    hose: z.string(),
    terminal: z.string().optional(),
    at: z.int(),
    credentials: z.array(z.string()).max(2),
    pin: z.enum(['notAsked', 'right', 'wrong', 'locked', 'notSet']),
    answers: z.record(z.string(), z.string()),
  }),
  approved: z.boolean(),
  by: z.string(),
  limit: z.int().nullable(),
});

/**
 * Checks all that a bundle says of itself: the signature, for whom it is, its digests, every row, and every case of its proof by this
 * box's own decide. One that was good when it came may lie here longer than its key lasts. Errors: FW-306 not one for this box, FW-307 this box decides otherwise.
 */
export function checkBundle(
  message: SignedText,
  expected: Expected,
  from: 'office' | 'shelf' = 'office',
): Result<Checked, Problem> {
  const opened = from === 'shelf' ? expected.office.openKept(message) : expected.office.open(message);
  if (opened === undefined) return refuse('The signature is not that of the office that this box joined.');
  const shape = bundleShape.safeParse(opened);
  if (!shape.success) return refuse('It does not have the form of a bundle.', shape.error.issues[0]?.message);
  const bundle = shape.data as Bundle;
  if (bundle.fleet !== expected.fleet || bundle.site !== expected.site)
    return refuse('It is for another site.', `${bundle.fleet}/${bundle.site}`, `${expected.fleet}/${expected.site}`);
  for (const part of ['content', 'proof'] as const) {
    const digest = digestOf(bundle[part]);
    if (digest !== bundle.digests[part])
      return refuse(`Its ${part} is not what its digest says.`, digest, bundle.digests[part]);
  }
  const fleet = fromJson(bundle.content);
  if (!fleet.ok) {
    const first = fleet.error[0];
    return refuse(
      'A row of its fleet cannot be read.',
      first && `${first.at?.in ?? ''} ${first.at?.row ?? ''}: ${first.cause}`,
    );
  }
  const plan = planOf(fleet.value, bundle.site, bundle.revision);
  if (!plan) return refuse('Its fleet does not have this site.');
  const policy = compile(fleet.value, expected.zones);
  const differs = firstDifference(policy, bundle.proof);
  return differs ? err(differs) : ok({ bundle, fleet: fleet.value, policy, plan });
}

function firstDifference(policy: Policy, proof: readonly ProofCase[]): Problem | undefined {
  for (const [index, row] of proof.entries()) {
    const read = proofCase.safeParse(row);
    if (!read.success) return refusal('Its proof cannot be read.', read.error.issues[0]?.message);
    const decision = decide(policy, read.data.request as DecisionRequest, NO_USAGE);
    const mine = {
      approved: decision.approved,
      by: decision.by.rule as string,
      limit: decision.approved ? decision.limit : null,
    };
    const { approved, by, limit } = read.data;
    if (mine.approved !== approved || mine.by !== by || mine.limit !== limit)
      return problem('FW-307', {
        at: { in: 'proof', row: index + 1 },
        found: JSON.stringify(mine),
        expected: JSON.stringify({ approved, by, limit }),
      });
  }
  return undefined;
}

const refusal = (cause: string, found?: string, expected?: string): Problem =>
  problem('FW-306', { cause, ...(found ? { found } : {}), ...(expected ? { expected } : {}) });
const refuse = (cause: string, found?: string, expected?: string) => err(refusal(cause, found, expected));

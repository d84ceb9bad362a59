import { randomUUID } from 'node:crypto';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { call } from '@fillwright/wire';
import { identityIn, keepMembership, type Membership, membershipIn } from './identity.ts';

export interface JoinOptions {
  readonly fetch?: typeof fetch;
  readonly randomId?: () => string;
}

/**
 * Joins this box to an office with a one-time code. The box's keys are made here; only their public halves leave it.
 * Errors: FW-405 the code, FW-903 the folder, FW-905 no office answers, FW-607 the folder belongs to a box that has joined.
 */
export async function join(
  officeUrl: string,
  code: string,
  dataDir: string,
  options: JoinOptions = {},
): Promise<Result<Membership, Problem>> {
  const identity = identityIn(dataDir, options.randomId ?? randomUUID);
  if (!identity.ok) return identity;
  const before = membershipIn(dataDir);
  if (!before.ok) return before;
  if (before.value)
    return err(
      problem('FW-607', {
        cause: `This folder belongs to a box that has joined as ${before.value.name}.`,
        mend: 'Name an empty folder for the box that joins now.',
        at: { in: dataDir },
      }),
    );
  const { box, sign, seal } = identity.value;
  const answer = await call({ base: officeUrl.replace(/\/+$/, ''), fetch: options.fetch ?? fetch }, 'join', {
    body: { code: code.trim(), signKey: sign.publicKey, sealKey: seal.publicKey, box },
  });
  if (!answer.ok) return err(answer.error.problem);
  const kept = keepMembership(dataDir, answer.value);
  return kept.ok ? ok(answer.value) : kept;
}

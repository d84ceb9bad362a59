import { decide } from './decide.ts';
import type { Policy } from './policy.ts';
import { NO_USAGE } from './recorded-usage.ts';
import type { Ask, Decision, DecisionRequest, Usage } from './types.ts';

/** What a refusal still waits for; null where asking further would not help. */
export function askOf(decision: Decision): Ask | null {
  if (decision.approved || decision.by.says !== 'ask') return null;
  const { rule, on, facts } = decision.by;
  if (rule === 'pin') return { ask: 'pin' };
  if (rule === 'question' && on) return { ask: 'question', question: on.id };
  const missing = facts?.missing;
  return { ask: 'credential', of: missing === 'driver' || missing === 'vehicle' ? missing : 'either' };
}

/** What the terminal asks next for this request as far as it has come; null when it can be decided. */
export const asks = (policy: Policy, request: DecisionRequest, usage: Usage = NO_USAGE): Ask | null =>
  askOf(decide(policy, request, usage));

import { look, type Outcome } from './look.ts';
import type { PartyRoom } from './party.ts';
import type { Holder, Policy } from './policy.ts';
import { NO_USAGE, RecordedUsage } from './recorded-usage.ts';
import type { Approval, Decision, DecisionRequest, Refusal, RuleCode, Step, Usage } from './types.ts';

/**
 * Decides one request: approve with a limit, or refuse, with every rule that was looked at. Pure: no I/O, no clock, no randomness; the
 * same policy, request and usage give the same answer. The answer's `steps`, `by` and `notes` are worked out when first read, by the
 * same pass over the rules and with the usage as it was. See SPEC.md (D1 to D25).
 */
export function decide(policy: Policy, request: DecisionRequest, usage: Usage): Decision {
  const heard = usage === NO_USAGE ? usage : new RecordedUsage(usage);
  const told = new Told(policy, request, heard);
  look(policy, request, heard, null, told);
  return told as unknown as Decision;
}

/** A decision whose words are made late. */
class Told implements Outcome {
  approved = false;
  rule: RuleCode = 'site-known';
  limit = 0;
  product = '';
  holderDriver: Holder | null = null;
  holderVehicle: Holder | null = null;
  first: PartyRoom | null = null;
  second: PartyRoom | null = null;
  private readonly policy: Policy;
  private readonly request: DecisionRequest;
  private readonly heard: Usage;
  private told: readonly Step[] | null = null;

  constructor(policy: Policy, request: DecisionRequest, heard: Usage) {
    this.policy = policy;
    this.request = request;
    this.heard = heard;
  }

  get steps(): readonly Step[] {
    if (this.told === null) {
      const steps: Step[] = [];
      const usage = this.heard instanceof RecordedUsage ? this.heard.again() : this.heard;
      look(this.policy, this.request, usage, steps, new Told(this.policy, this.request, usage));
      this.told = steps;
    }
    return this.told;
  }

  get by(): Step {
    if (!this.approved) return this.steps.at(-1) as Step;
    const { rule, limit, first, second } = this;
    if (rule === 'hose-most' || rule === 'vehicle-tank') return this.steps.find((s) => s.rule === rule) as Step;
    const { holder, terms } = (first?.room === limit ? first : second) as PartyRoom;
    // A holder's allowance is looked at once: that step is the one.
    return this.steps.find((s) => s.facts?.holder === holder.key && s.on?.id === terms.row.id) as Step;
  }

  get driver(): string | undefined {
    return this.holderDriver?.id;
  }

  get vehicle(): string | undefined {
    return this.holderVehicle?.id;
  }

  get charged(): Approval['charged'] {
    const parties = [this.first, this.second].filter((p) => p !== null);
    return parties.map((p) => ({ holder: p.holder.key, allowance: p.terms.row.id }));
  }

  get notes(): readonly Step[] {
    return this.steps.filter((s) => s.rule === 'question' && s.facts !== undefined);
  }

  toJSON(): Decision {
    return plain(this as unknown as Decision);
  }
}

/** A copy with plain members, for sending to another thread, storing or spreading. */
export function plain(decision: Decision): Decision {
  const who = {
    ...(decision.driver === undefined ? {} : { driver: decision.driver }),
    ...(decision.vehicle === undefined ? {} : { vehicle: decision.vehicle }),
  };
  if (!decision.approved) return { approved: false, by: decision.by, steps: decision.steps, ...who } satisfies Refusal;
  const { limit, by, charged, product, steps, notes } = decision;
  return { approved: true, limit, by, charged, product, steps, notes, ...who } satisfies Approval;
}

/** The rule that decided, without making the steps. */
export const ruleOf = (decision: Decision): RuleCode => (decision instanceof Told ? decision.rule : decision.by.rule);

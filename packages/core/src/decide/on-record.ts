import type { PinState, Step, Usage, Used } from './types.ts';

const NOTHING: Used = { day: 0, week: 0, month: 0, fillsToday: 0 };

/** Passes questions about usage on and keeps what was answered, by name: a refusal puts it on the record, so that it can be decided again. */
export class LookedAt implements Usage {
  readonly cutOff: boolean;
  private readonly source: Usage;
  private readonly useds: Record<string, Used> = {};
  private readonly readings: Record<string, number | null> = {};

  constructor(source: Usage) {
    this.source = source;
    this.cutOff = source.cutOff;
  }

  used(holder: string, allowance: string, site: string, at: number): Used | undefined {
    const used = this.source.used(holder, allowance, site, at);
    this.useds[`${holder} ${allowance}`] = used ?? NOTHING;
    return used;
  }

  lastReading(vehicle: string, kind: 'odometer' | 'hours'): number | undefined {
    const reading = this.source.lastReading(vehicle, kind);
    this.readings[`${vehicle} ${kind}`] = reading ?? null;
    return reading;
  }

  asked = ({ pin, answers }: { readonly pin: PinState; readonly answers: Readonly<Record<string, string>> }) => ({
    pin,
    answers: { ...answers },
    cutOff: this.cutOff,
    used: this.useds,
    readings: this.readings,
  });
}

/** Steps as they go on the record: of a card's number only the last four digits, long words cut. */
export const onRecord = (steps: readonly Step[]) =>
  steps.map(({ rule, says, on, limit, facts }) => ({
    rule,
    says,
    ...(on ? { on: { table: on.table, id: on.id } } : {}),
    ...(limit === undefined ? {} : { limit }),
    ...(facts ? { facts: Object.fromEntries(Object.entries(facts).map(shortened)) } : {}),
  }));

const shortened = ([name, value]: [string, string | number]): [string, string | number] =>
  name === 'number'
    ? [name, `…${String(value).slice(-4)}`]
    : [name, typeof value === 'string' ? value.slice(0, 200) : value];

import type { Usage, Used } from './types.ts';

/** Nothing drawn before, and connected. */
export const NO_USAGE: Usage = { used: () => undefined, lastReading: () => undefined, cutOff: false };

/**
 * Passes questions about usage on and keeps the answers, so that the steps of a decision, made when somebody reads them, speak of the
 * usage as it was. Answers are given back in the order in which they were asked, which is the same for the same policy and request.
 */
export class RecordedUsage implements Usage {
  readonly cutOff: boolean;
  private readonly source: Usage;
  private useds: (Used | undefined)[] | null = null;
  private readings: (number | undefined)[] | null = null;

  constructor(source: Usage) {
    this.source = source;
    this.cutOff = source.cutOff;
  }

  used(holder: string, allowance: string, site: string, at: number): Used | undefined {
    const used = this.source.used(holder, allowance, site, at);
    if (this.useds === null) this.useds = [used];
    else this.useds.push(used);
    return used;
  }

  lastReading(vehicle: string, kind: 'odometer' | 'hours'): number | undefined {
    const reading = this.source.lastReading(vehicle, kind);
    if (this.readings === null) this.readings = [reading];
    else this.readings.push(reading);
    return reading;
  }

  again(): Usage {
    let u = 0;
    let r = 0;
    return { cutOff: this.cutOff, used: () => this.useds?.[u++], lastReading: () => this.readings?.[r++] };
  }
}

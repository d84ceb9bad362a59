import type { Entry } from '@fillwright/core/island';
import { z } from 'zod';
import type { Absorbed } from './absorb.ts';

/** The last accepted reading of each vehicle, odometer and engine hours apart. */
const shape = z.record(z.string(), z.int());
type Readings = z.infer<typeof shape>;

type QuestionKinds = (question: string) => string | undefined;

export interface ReadingsOptions {
  readonly kindOf: QuestionKinds;
  readonly get: (key: string) => string | undefined;
}

const keyOf = (vehicle: string) => `read:${vehicle}`;

/** Read from the journal's state when asked for: a roster may have more vehicles than ever come here. */
export class LastReadings {
  readonly #options: ReadingsOptions;
  constructor(options: ReadingsOptions) {
    this.#options = options;
  }

  last(vehicle: string, kind: 'odometer' | 'hours'): number | undefined {
    return this.#of(vehicle)[kind];
  }

  absorb(entry: Entry): Absorbed | undefined {
    if (entry.kind !== 'authorised' || entry.vehicle === undefined) return undefined;
    const readings = this.#of(entry.vehicle);
    let changed = false;
    for (const [question, answer] of Object.entries(entry.answers)) {
      const kind = this.#options.kindOf(question);
      if ((kind !== 'odometer' && kind !== 'hours') || !/^\s*\d+\s*$/.test(answer)) continue;
      readings[kind] = Number(answer);
      changed = true;
    }
    return changed
      ? { writes: { [keyOf(entry.vehicle)]: JSON.stringify(readings) }, commit: () => undefined }
      : undefined;
  }

  #of(vehicle: string): Readings {
    const text = this.#options.get(keyOf(vehicle));
    return text === undefined ? {} : shape.parse(JSON.parse(text));
  }
}

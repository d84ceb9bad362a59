import type { StopOrder } from '@fillwright/wire';
import { z } from 'zod';
import type { Absorbed } from './absorb.ts';

/** Credential numbers that the office stopped by an urgent order, each with the order that did it. */
const shape = z.array(z.strictObject({ number: z.string(), order: z.string(), at: z.int() }));
export type Stopped = Readonly<z.infer<typeof shape>[number]>;

const KEY = 'stops';
/** A release that was being made when the order went out may not have it. */
const MARGIN_MS = 2_000;

export class Stops {
  #list: readonly Stopped[] = [];

  load(text: string | undefined): void {
    if (text !== undefined) this.#list = shape.parse(JSON.parse(text));
  }

  get numbers(): ReadonlySet<string> {
    return new Set(this.#list.map((s) => s.number));
  }

  /** The numbers of an order that are not stopped yet. */
  newIn(order: StopOrder): readonly string[] {
    const known = this.numbers;
    return [...new Set(order.numbers)].filter((n) => !known.has(n));
  }

  take(order: StopOrder, numbers: readonly string[]): Absorbed {
    return this.#become([...this.#list, ...numbers.map((number) => ({ number, order: order.id, at: order.at }))]);
  }

  /** A bundle that was issued after an order knows of it: from then on the roster says whether the card is stopped. */
  under(issuedAt: number): Absorbed | undefined {
    const left = this.#list.filter((s) => s.at > issuedAt - MARGIN_MS);
    return left.length === this.#list.length ? undefined : this.#become(left);
  }

  #become(list: readonly Stopped[]): Absorbed {
    return {
      writes: { [KEY]: JSON.stringify(list) },
      commit: () => {
        this.#list = list;
      },
    };
  }
}

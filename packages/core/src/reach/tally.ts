export const KINDS = ['gained', 'lost', 'raised', 'lowered'] as const;
export type ChangeKind = (typeof KINDS)[number];

/** What a group is known by; reasons by number in the book, -1 where nothing was or is open at all. */
export interface GroupKey {
  readonly kind: ChangeKind;
  readonly product: string;
  readonly whyBefore: number;
  readonly whyAfter: number;
}

/** The groups of one product: by kind, by the reason before plus one, by the reason after. */
export type Slots = Map<number, number>[][];

const WHOLE = 2 ** 52;

/** Points by group, exact whatever their number: sums in floating point while they are whole, the rest in big integers. */
export class Tally {
  readonly keys: GroupKey[] = [];
  /** Groups to which anything was added since it was last emptied. */
  readonly touched = new Set<number>();
  private readonly small: number[] = [];
  private readonly big: bigint[] = [];
  private readonly products = new Map<string, Slots>();
  private readonly names = new Map<Slots, string>();

  of(product: string): Slots {
    let slots = this.products.get(product);
    if (!slots) {
      slots = [[], [], [], []];
      this.products.set(product, slots);
      this.names.set(slots, product);
    }
    return slots;
  }

  /** Adds `times` x `minutes` points to a group, whose number it gives; `kind` is its place in KINDS. */
  add(slots: Slots, kind: number, whyBefore: number, whyAfter: number, times: number, minutes: number): number {
    const byBefore = slots[kind] as Map<number, number>[];
    let byAfter = byBefore[whyBefore + 1];
    if (!byAfter) {
      byAfter = new Map();
      byBefore[whyBefore + 1] = byAfter;
    }
    let slot = byAfter.get(whyAfter);
    if (slot === undefined) {
      const product = this.names.get(slots) as string;
      slot = this.keys.push({ kind: KINDS[kind] as ChangeKind, product, whyBefore, whyAfter }) - 1;
      this.small.push(0);
      this.big.push(0n);
      byAfter.set(whyAfter, slot);
    }
    this.touched.add(slot);
    const points = times * minutes;
    const sum = (this.small[slot] as number) + points;
    if (Math.abs(points) < WHOLE && Math.abs(sum) < WHOLE) {
      this.small[slot] = sum;
      return slot;
    }
    const whole = Math.abs(points) < WHOLE ? BigInt(points) : BigInt(times) * BigInt(minutes);
    this.big[slot] = (this.big[slot] as bigint) + BigInt(this.small[slot] as number) + whole;
    this.small[slot] = 0;
    return slot;
  }

  points(slot: number): bigint {
    return (this.big[slot] as bigint) + BigInt(this.small[slot] as number);
  }
}

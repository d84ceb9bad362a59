import type { Couples } from './couples.ts';

export interface OnlyPeople {
  readonly drivers: readonly string[];
  readonly vehicles: readonly string[];
}

/**
 * Finds those who, in one part of the week, meet nobody in the cells with which theirs is heard but those with whom a card names them. What
 * two cards let such a pair do is not the whole truth, as it comes on the days of the third as well.
 */
export class OnlyCoupled {
  private readonly drivers: Meetings;
  private readonly vehicles: Meetings;

  constructor(drivers: number, vehicles: number) {
    this.drivers = new Meetings(drivers);
    this.vehicles = new Meetings(vehicles);
  }

  /** Cells that are heard together, by their place in the lists of each side, with the people in each; couples where all in a cell may be of them. */
  meet(i: number, j: number, drivers: number, vehicles: number, couples: Couples): void {
    this.drivers.add(i, vehicles);
    this.vehicles.add(j, drivers);
    for (const [driver, vehicle] of couples) {
      this.drivers.known(driver, i);
      this.vehicles.known(vehicle, j);
    }
  }

  people(): OnlyPeople {
    return { drivers: this.drivers.only(), vehicles: this.vehicles.only() };
  }
}

class Meetings {
  /** How many of the other side those in each cell meet. */
  private readonly met: Float64Array;
  /** By who is named with some of them: their cell, and with how many. */
  private readonly named = new Map<string, { readonly at: number; others: number }>();

  constructor(cells: number) {
    this.met = new Float64Array(cells);
  }

  add(at: number, people: number): void {
    this.met[at] = (this.met[at] as number) + people;
  }

  known(id: string, at: number): void {
    const had = this.named.get(id);
    if (had) had.others++;
    else this.named.set(id, { at, others: 1 });
  }

  only(): string[] {
    return [...this.named].filter(([, { at, others }]) => others === this.met[at]).map(([id]) => id);
  }
}

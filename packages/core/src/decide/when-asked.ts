/**
 * A map whose values are made of rows when they are first asked for, and kept: a site asks for the few who come, so that a large roster
 * costs it little. Whoever walks over all of it gets all of it made, once. `make` must give the same for the same row whenever it is
 * asked; the rows must not be changed afterwards.
 */
export class WhenAsked<R, V extends object | null> implements ReadonlyMap<string, V> {
  /** null once all are made. */
  private rows: ReadonlyMap<string, R> | null;
  private made = new Map<string, V>();
  private readonly make: (row: R) => V;
  private readonly asks: readonly { all(): unknown }[];
  readonly size: number;

  /** `asks`: the maps that `make` asks; quicker when they have made all theirs before a walk over all of this one. */
  constructor(rows: ReadonlyMap<string, R>, make: (row: R) => V, asks: readonly { all(): unknown }[] = []) {
    this.rows = rows;
    this.make = make;
    this.asks = asks;
    this.size = rows.size;
  }

  get(key: string): V | undefined {
    const known = this.made.get(key);
    return known === undefined && this.rows !== null ? this.first(key, this.rows) : known;
  }

  private first(key: string, rows: ReadonlyMap<string, R>): V | undefined {
    const row = rows.get(key);
    if (row === undefined) return undefined;
    const value = this.make(row);
    this.made.set(key, value);
    return value;
  }

  /** In the order of the rows, whoever was asked for before. */
  all(): ReadonlyMap<string, V> {
    const { rows, made } = this;
    if (rows !== null) {
      for (const map of this.asks) map.all();
      const all = new Map<string, V>();
      rows.forEach((row, key) => {
        const known = made.get(key);
        all.set(key, known === undefined ? this.make(row) : known);
      });
      this.made = all;
      this.rows = null;
    }
    return this.made;
  }

  has(key: string): boolean {
    return (this.rows ?? this.made).has(key);
  }

  forEach(visit: (value: V, key: string, map: ReadonlyMap<string, V>) => void): void {
    this.all().forEach(visit);
  }

  entries(): MapIterator<[string, V]> {
    return this.all().entries();
  }

  keys(): MapIterator<string> {
    return (this.rows ?? this.made).keys();
  }

  values(): MapIterator<V> {
    return this.all().values();
  }

  [Symbol.iterator](): MapIterator<[string, V]> {
    return this.entries();
  }
}

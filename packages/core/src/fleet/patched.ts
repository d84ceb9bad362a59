/**
 * A map that differs from a whole one in a few entries. Those are kept beside it and the whole one is not copied, so that an edit costs
 * what it touches. Entries keep their place, new ones come last. The whole map and the edits must not be changed afterwards.
 */
export class Patched<V extends object | null> implements ReadonlyMap<string, V> {
  readonly whole: ReadonlyMap<string, V>;
  /** undefined is gone. */
  readonly edits: ReadonlyMap<string, V | undefined>;
  readonly size: number;

  private constructor(whole: ReadonlyMap<string, V>, edits: ReadonlyMap<string, V | undefined>) {
    this.whole = whole;
    this.edits = edits;
    let size = whole.size;
    for (const [key, value] of edits) size += (value === undefined ? 0 : 1) - (whole.has(key) ? 1 : 0);
    this.size = size;
  }

  /** The map with some entries set, or taken away. A new whole one once the edits would be many. */
  static of<V extends object | null>(
    map: ReadonlyMap<string, V>,
    edits: ReadonlyMap<string, V | undefined>,
  ): ReadonlyMap<string, V> {
    if (edits.size === 0) return map;
    const whole = wholeOf(map);
    const patched = new Patched(whole, map === whole ? edits : new Map([...editsOf(map), ...edits]));
    return patched.edits.size > 16 + whole.size / 8 ? new Map(patched) : patched;
  }

  get(key: string): V | undefined {
    const edited = this.edits.get(key);
    return edited !== undefined || this.edits.has(key) ? edited : this.whole.get(key);
  }

  has(key: string): boolean {
    return this.edits.has(key) ? this.edits.get(key) !== undefined : this.whole.has(key);
  }

  /**
   * Several times quicker than iterating. A function of its own, so that a map that is posted to another thread, where it would arrive
   * without what it can do, is refused (see `sendable`).
   */
  readonly forEach = (visit: (value: V, key: string, map: ReadonlyMap<string, V>) => void): void => {
    const { edits, whole } = this;
    whole.forEach((value, key) => {
      const edited = edits.get(key);
      if (edited !== undefined) visit(edited, key, this);
      else if (!edits.has(key)) visit(value, key, this);
    });
    for (const [key, value] of edits) if (value !== undefined && !whole.has(key)) visit(value, key, this);
  };

  *entries(): MapIterator<[string, V]> {
    const { edits, whole } = this;
    for (const entry of whole) {
      if (!edits.has(entry[0])) yield entry;
      else if (edits.get(entry[0]) !== undefined) yield [entry[0], edits.get(entry[0]) as V];
    }
    for (const [key, value] of edits) if (value !== undefined && !whole.has(key)) yield [key, value];
  }

  *keys(): MapIterator<string> {
    const { edits, whole } = this;
    for (const key of whole.keys()) if (!edits.has(key) || edits.get(key) !== undefined) yield key;
    for (const [key, value] of edits) if (value !== undefined && !whole.has(key)) yield key;
  }

  *values(): MapIterator<V> {
    for (const [, value] of this.entries()) yield value;
  }

  [Symbol.iterator](): MapIterator<[string, V]> {
    return this.entries();
  }
}

/** What another thread can be sent: patched maps, at whatever depth of plain records, as whole ones. */
export function sendable<T>(value: T): T {
  if (value instanceof Patched) return new Map(value) as T;
  if (typeof value !== 'object' || value === null || Object.getPrototypeOf(value) !== Object.prototype) return value;
  return Object.fromEntries(Object.entries(value).map(([name, part]) => [name, sendable(part)])) as T;
}

type MaybePatched<V> = ReadonlyMap<string, V> & Partial<Pick<Patched<V & (object | null)>, 'whole' | 'edits'>>;

const wholeOf = <V>(map: ReadonlyMap<string, V>): ReadonlyMap<string, V> =>
  (map instanceof Patched ? (map as MaybePatched<V>).whole : map) as ReadonlyMap<string, V>;
const editsOf = <V>(map: ReadonlyMap<string, V>): ReadonlyMap<string, V | undefined> =>
  (map instanceof Patched ? (map as MaybePatched<V>).edits : new Map()) as ReadonlyMap<string, V | undefined>;

/** Keys at which two maps do not hold the same object: quick where one was patched from the other, or both hold their keys in one order. */
export function changedKeys<V>(was: ReadonlyMap<string, V>, is: ReadonlyMap<string, V>): string[] {
  if (was === is) return [];
  if (wholeOf(was) === wholeOf(is))
    return [...new Set([...editsOf(was).keys(), ...editsOf(is).keys()])].filter((key) => was.get(key) !== is.get(key));
  const changed: string[] = [];
  // In step while the keys are the same: several times quicker than looking each up.
  const [keys, values] = [was.keys(), was.values()];
  let inStep = true;
  is.forEach((value, key) => {
    const [wasKey, wasValue] = inStep ? [keys.next().value, values.next().value] : [undefined, undefined];
    inStep &&= wasKey === key;
    if ((inStep ? wasValue : was.get(key)) !== value) changed.push(key);
  });
  if (!inStep || is.size !== was.size) for (const key of was.keys()) if (!is.has(key)) changed.push(key);
  return changed;
}

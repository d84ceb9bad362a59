/** How far rows have been turned into edits. */
export interface Progress {
  readonly done: number;
  readonly of: number;
}

const SAY_EVERY_ROWS = 500;

/** The items one by one, saying after every so many how far it is: `before` were done already, `of` are to be done in all. */
export function* byRows<T>(
  items: readonly T[],
  each: (item: T) => void,
  before = 0,
  of = items.length,
): Generator<Progress, void> {
  for (const [i, item] of items.entries()) {
    if (i % SAY_EVERY_ROWS === 0) yield { done: before + i, of };
    each(item);
  }
}

/** Goes through all of it at once; what it says on the way is dropped. */
export function atOnce<T>(work: Generator<Progress, T>): T {
  for (;;) {
    const step = work.next();
    if (step.done) return step.value;
  }
}

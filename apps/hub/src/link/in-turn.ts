export interface Turns {
  /** Does the task once those before it under the same key are done or have failed; those of other keys do not wait. */
  readonly do: (key: string, task: () => Promise<void>) => Promise<void>;
  /** Until all that were begun are done or have failed. */
  readonly done: () => Promise<unknown>;
}

/** Tasks that keep their order under each key. */
export function inTurn(): Turns {
  const last = new Map<string, Promise<void>>();
  return {
    do(key, task) {
      const work = (last.get(key) ?? Promise.resolve()).then(task);
      const quiet = work
        .catch(() => undefined)
        .then(() => {
          if (last.get(key) === quiet) last.delete(key);
        });
      last.set(key, quiet);
      return work;
    },
    done: () => Promise.all(last.values()),
  };
}

/** How long a slice of work may take before the page breathes, in milliseconds. */
const SLICE_MS = 12;

/** Runs a generator to its end in slices; `stopped` is asked between them, and gives it up. */
export async function inSlices<T>(work: Generator<void, T>, stopped: () => boolean): Promise<T | undefined> {
  for (;;) {
    const until = performance.now() + SLICE_MS;
    for (;;) {
      const step = work.next();
      if (step.done) return stopped() ? undefined : step.value;
      if (performance.now() > until) break;
    }
    await new Promise((done) => setTimeout(done));
    if (stopped()) return undefined;
  }
}

/** Runs a generator to its end at once. */
export function atOnce<T>(work: Generator<void, T>): T {
  for (;;) {
    const step = work.next();
    if (step.done) return step.value;
  }
}

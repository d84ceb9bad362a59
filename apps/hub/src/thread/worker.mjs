// @ts-check
import { parentPort, workerData } from 'node:worker_threads';
import { tsImport } from 'tsx/esm/api';

/** @type {{ work: (question: unknown) => Generator<{ done: number; of: number }, unknown> | AsyncGenerator<{ done: number; of: number }, unknown> }} */
const { work } = await tsImport(workerData, import.meta.url);
const SAY_EVERY_MS = 100;

parentPort?.on('message', async ({ id, question }) => {
  try {
    const running = work(question);
    // The first step is said at once: until then the question may be waiting for another.
    let said = Number.NEGATIVE_INFINITY;
    for (;;) {
      const step = await running.next();
      if (step.done) {
        parentPort?.postMessage({ id, answer: step.value });
        return;
      }
      if (performance.now() - said < SAY_EVERY_MS) continue;
      said = performance.now();
      parentPort?.postMessage({ id, progress: step.value });
    }
  } catch (error) {
    parentPort?.postMessage({ id, failed: error instanceof Error ? (error.stack ?? error.message) : String(error) });
  }
});

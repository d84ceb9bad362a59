import type { Browser, Page } from 'playwright-core';

/** The longest task of the page's main thread, in milliseconds. */
export interface Longest {
  /** 0 where none was as long as 50 ms: the browser tells of none shorter. */
  readonly clock: number;
  readonly processor: number;
}

/** An event of Chromium's trace: microseconds, `dur` by the clock, `tdur` of the thread's own processor time. */
interface Traced {
  readonly name: string;
  readonly ph: string;
  readonly pid: number;
  readonly tid: number;
  readonly dur?: number;
  readonly tdur?: number;
  readonly args?: { readonly name?: string };
}

/** What follows a deed (what was sent, what workers answer) is watched for so long. */
const AFTER_MS = 2_500;

/** Does something on the page and tells the longest task while it was done and for a while after. */
export async function watched(browser: Browser, page: Page, deed: () => Promise<void>): Promise<Longest> {
  await browser.startTracing(page, { categories: ['toplevel', 'devtools.timeline', '__metadata'] });
  const began = await page.evaluate(() => performance.timeOrigin + performance.now());
  await deed();
  await page.waitForTimeout(AFTER_MS);
  const clock = await page.evaluate(
    (since) =>
      new Promise<number>((done) => {
        // 'buffered' tells what was before, which is all that is asked.
        new PerformanceObserver((list) => {
          const tasks = list.getEntries().filter((e) => performance.timeOrigin + e.startTime >= since);
          done(Math.max(0, ...tasks.map((e) => e.duration)));
        }).observe({ type: 'longtask', buffered: true });
        setTimeout(() => done(0), 500);
      }),
    began,
  );
  const trace = JSON.parse((await browser.stopTracing()).toString()) as { traceEvents: Traced[] };
  return { clock, processor: longestOf(trace.traceEvents) };
}

function longestOf(events: readonly Traced[]): number {
  const threads = new Set(
    events.filter((e) => e.name === 'thread_name' && e.args?.name === 'CrRendererMain').map((e) => `${e.pid} ${e.tid}`),
  );
  const tasks = events.filter((e) => e.ph === 'X' && e.name.endsWith('RunTask') && threads.has(`${e.pid} ${e.tid}`));
  if (tasks.length === 0) throw new Error('the trace tells of no task');
  return Math.max(...tasks.map((e) => (e.tdur ?? 0) / 1000));
}

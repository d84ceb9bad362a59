import type { Finding } from '@fillwright/core/findings';
import type { Fleet, TableName } from '@fillwright/core/fleet';
import { useSyncExternalStore } from 'react';
import { day } from './clock.ts';
import { draft } from './draft.ts';
import { partsBetween, type ToWorker } from './findings-message.ts';

export type { Finding };

const NONE: readonly Finding[] = [];

/**
 * The findings of the draft, computed beside the page so that it never waits. The worker holds the fleet and hears only what changed;
 * while it computes, changes gather, and it is asked again once it has answered.
 */
const asking = (() => {
  let worker: Worker | undefined;
  let told: Fleet | undefined;
  let busy = false;
  let found = NONE;
  let stop = () => {};
  const listeners = new Set<() => void>();
  const publish = (next: readonly Finding[]) => {
    found = next;
    for (const listener of listeners) listener();
  };

  async function ask(): Promise<void> {
    const { fleet } = draft.get();
    if (busy || !fleet || fleet === told) return;
    busy = true;
    if (!worker) {
      worker = new Worker(new URL('./findings-worker.ts', import.meta.url), { type: 'module' });
      let coming: Finding[] = [];
      worker.addEventListener('message', (event: MessageEvent<{ found: readonly Finding[]; last: boolean }>) => {
        const from = coming.length;
        coming.push(...event.data.found);
        place(coming, from);
        if (!event.data.last) return;
        busy = false;
        publish(coming);
        coming = [];
        void ask();
      });
      // A worker that breaks is made anew with the next change; what was found stays until then.
      worker.addEventListener('error', () => {
        worker?.terminate();
        worker = undefined;
        told = undefined;
        busy = false;
      });
    }
    const say = (message: ToWorker) => worker?.postMessage(message);
    const { settings } = fleet;
    let sent = 0;
    for (const part of partsBetween(told, fleet)) {
      if (sent++ > 0) await new Promise((done) => setTimeout(done));
      say({ settings, part });
    }
    told = fleet;
    say({ settings, ask: { today: day(Date.now()) } });
  }

  return {
    listen: (listener: () => void) => {
      if (listeners.size === 0) stop = draft.listen(() => void ask());
      listeners.add(listener);
      void ask();
      return () => {
        listeners.delete(listener);
        if (listeners.size === 0) stop();
      };
    },
    get: () => found,
  };
})();

/** The findings of the draft; they follow it a moment behind. */
export const useFindings = (): readonly Finding[] => useSyncExternalStore(asking.listen, asking.get);

const placed = new WeakMap<readonly Finding[], Map<string, Finding[]>>();

/** Notes of which records the findings from place `from` on speak. */
function place(all: readonly Finding[], from: number): Map<string, Finding[]> {
  const index = placed.get(all) ?? new Map<string, Finding[]>();
  placed.set(all, index);
  for (let i = from; i < all.length; i++) {
    const finding = all[i] as Finding;
    for (const key of new Set(finding.on.map((r) => `${r.table}/${r.id}`))) {
      const had = index.get(key);
      if (had) had.push(finding);
      else index.set(key, [finding]);
    }
  }
  return index;
}

/** The findings that speak of one record. */
export const findingsAt = (all: readonly Finding[], table: TableName, id: string): readonly Finding[] =>
  (placed.get(all) ?? place(all, 0)).get(`${table}/${id}`) ?? NONE;

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
      worker.addEventListener('message', (event: MessageEvent<readonly Finding[]>) => {
        busy = false;
        publish(event.data);
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

/** The findings that speak of one record. */
export function findingsAt(all: readonly Finding[], table: TableName, id: string): readonly Finding[] {
  let index = placed.get(all);
  if (!index) {
    index = new Map();
    for (const finding of all) {
      for (const key of new Set(finding.on.map((r) => `${r.table}/${r.id}`))) {
        const had = index.get(key);
        if (had) had.push(finding);
        else index.set(key, [finding]);
      }
    }
    placed.set(all, index);
  }
  return index.get(`${table}/${id}`) ?? NONE;
}

import { useSyncExternalStore } from 'react';
import type { Told } from './told.ts';

/** Since when what is shown is no longer from the office; undefined while it is heard. */
let since: number | undefined;
const watchers = new Set<() => void>();

function hear(told: Told, onHeard: () => void): void {
  // The oldest of what stands in for the office is as old as the page is.
  const next = told.kind === 'heard' ? undefined : Math.min(told.at, since ?? told.at);
  if (next === since) return;
  since = next;
  for (const watcher of watchers) watcher();
  if (next === undefined) onHeard();
}

/** Lets the worker stand by, where the browser knows such workers and the page was built. `onHeard`: the office is heard again. */
export function standBy(onHeard: () => void): void {
  const workers = navigator.serviceWorker as ServiceWorkerContainer | undefined;
  if (!import.meta.env.PROD || !workers) return;
  workers.addEventListener('message', (e: MessageEvent<Told>) => hear(e.data, onHeard));
  workers.startMessages();
  // Without it everything works that works with a line.
  workers.register('/offline.js').catch((cause: unknown) => console.warn('the desk cannot stand by offline:', cause));
}

/** Whether anything that is shown stands in for the office. */
export const unheard = (): boolean => since !== undefined;

export const useKeptSince = (): number | undefined =>
  useSyncExternalStore(
    (watcher) => {
      watchers.add(watcher);
      return () => watchers.delete(watcher);
    },
    () => since,
  );

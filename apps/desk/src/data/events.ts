import { type DeskEvent, deskEvent, type RouteName } from '@fillwright/wire';
import { useEffect, useSyncExternalStore } from 'react';
import { unheard } from '../offline/line.ts';
import { draft } from './draft.ts';
import { queryClient } from './hub.ts';

/** What must be asked again after each kind of news. */
const TOUCHES: Readonly<Record<DeskEvent['kind'], readonly RouteName[]>> = {
  draft: ['history', 'releasePreview', 'releaseStands', 'fleet'],
  release: ['releases', 'releasePreview', 'releaseStands', 'sites', 'running', 'fleet', 'rollouts'],
  rollout: ['rollouts', 'sites', 'releasePreview'],
  site: ['sites', 'running'],
  fill: ['fills', 'fill', 'sites', 'tankBooks', 'tankMoves', 'moneyStatement', 'flags', 'worksheet'],
  refusal: ['refusals', 'worksheet'],
  stop: ['stops'],
  flag: ['flags'],
  tank: ['tankBooks', 'tankMoves', 'sites', 'worksheet'],
  money: ['money', 'moneyStatement'],
  progress: [],
};

let seen: ReadonlyMap<string, number> = new Map();
const watchers = new Set<() => void>();

/** Who changed the draft since this window was opened, and when last, by name. */
export const useChangers = (): ReadonlyMap<string, number> =>
  useSyncExternalStore(
    (watcher) => {
      watchers.add(watcher);
      return () => watchers.delete(watcher);
    },
    () => seen,
  );

type Hears = (progress: { readonly done: number; readonly of: number }) => void;
const askers = new Map<string, Hears>();

/** Hears how far a question is that was put to the hub by this name, until the function that it gives is called. */
export function hearProgress(name: string, hears: Hears): () => void {
  askers.set(name, hears);
  return () => askers.delete(name);
}

/** Takes in one piece of news from the hub. */
function hear(event: DeskEvent): void {
  if (event.kind === 'progress') askers.get(event.asked)?.(event);
  if (event.kind === 'release') draft.released(event.number);
  if (event.kind === 'draft') {
    void draft.heard(event.version);
    seen = new Map(seen).set(event.by, Date.now());
    for (const watcher of watchers) watcher();
  }
  for (const name of TOUCHES[event.kind]) void queryClient.invalidateQueries({ queryKey: [name] });
}

/** After a gap anything may have changed. */
export function askAnew(): void {
  void queryClient.invalidateQueries();
  void draft.heard(Number.POSITIVE_INFINITY);
}

/** Listens to the hub for as long as somebody is signed in; the browser dials again by itself. */
export function useEvents(on: boolean): void {
  useEffect(() => {
    if (!on) return;
    const source = new EventSource('/api/events');
    const take = (message: MessageEvent<string>) => {
      const event = deskEvent.safeParse(safeJson(message.data));
      if (event.success) hear(event.data);
    };
    source.onmessage = take;
    let open = false;
    source.onopen = () => {
      if (open || unheard()) askAnew();
      open = true;
    };
    return () => source.close();
  }, [on]);
}

const safeJson = (text: string): unknown => {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
};

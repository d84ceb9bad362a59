import type { Fleet } from '@fillwright/core/fleet';
import type { Place, Verdict } from '@fillwright/core/reach';
import { useEffect, useRef, useState } from 'react';
import { partsBetween } from '../data/findings-message.ts';
import type { About, Ask, FromReach, Pair, Stretched, ToReach, Within } from './message.ts';

type Hear = (answer: FromReach) => void;
interface Asked {
  readonly fleet: Fleet;
  readonly question: Ask;
  readonly hear: Hear;
}

/** One worker and the fleet that it was told. What is asked meanwhile waits, the latest of its kind alone: what the worker keeps makes the next quick. */
function asker() {
  let worker: Worker | undefined;
  let told: Fleet | undefined;
  let run = 0;
  let busy = false;
  const waiting = new Map<Ask['kind'], Asked>();
  const end = () => {
    worker?.terminate();
    worker = undefined;
    told = undefined;
    busy = false;
    waiting.clear();
    run++;
  };
  async function ask(asked: Asked): Promise<void> {
    if (busy) {
      waiting.set(asked.question.kind, asked);
      return;
    }
    busy = true;
    const { fleet, question, hear } = asked;
    const mine = ++run;
    const at = worker ?? new Worker(new URL('./worker.ts', import.meta.url), { type: 'module' });
    worker = at;
    at.onmessage = (event: MessageEvent<FromReach>) => {
      if (mine !== run) return;
      if (event.data.kind === 'progress') {
        (waiting.get(question.kind)?.hear ?? hear)(event.data);
        return;
      }
      busy = false;
      hear(event.data);
      for (const [kind, next] of waiting) {
        waiting.delete(kind);
        void ask(next);
        break;
      }
    };
    at.onerror = () => {
      if (mine !== run) return;
      const heard = [hear, ...[...waiting.values()].map((asked) => asked.hear)];
      end();
      for (const tell of heard)
        tell({ kind: 'failed', sentence: 'It could not be worked out in this browser. Load the page again.' });
    };
    const say = (message: ToReach) => at.postMessage(message);
    const { settings } = fleet;
    let sent = 0;
    for (const part of partsBetween(told, fleet)) {
      if (sent++ > 0) await new Promise((done) => setTimeout(done));
      if (mine !== run) return;
      say({ settings, part });
    }
    told = fleet;
    say({ settings, ask: question });
  }
  return { ask, end };
}

type Asker = ReturnType<typeof asker>;
/** The difference is kept from page to page: the first is worked out whole, each later one from what was edited. */
const differences = asker();

const SETTLE_MS = 40;

export interface Worked {
  /** The last answer; it stays while a newer one is worked on. */
  readonly answer: FromReach | undefined;
  readonly working: boolean;
  readonly progress: { readonly done: number; readonly of: number } | undefined;
  /** Set once somebody stopped it; `again` begins anew. */
  readonly stopped: boolean;
  readonly stop: () => void;
  readonly again: () => void;
}

/** Asks beside the page, a moment after fleet and question have come to rest; the latest question wins. Null asks nothing. */
function useReach(fleet: Fleet, question: Ask | null, shared?: Asker): Worked {
  const asking = useRef<Asker>(shared);
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined);
  const [answer, setAnswer] = useState<FromReach>();
  const [progress, setProgress] = useState<Worked['progress']>();
  const [working, setWorking] = useState(false);
  const [stopped, setStopped] = useState(false);
  const [turn, setTurn] = useState(0);
  const key = JSON.stringify(question);
  useEffect(() => () => (shared ? undefined : asking.current?.end()), [shared]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: `turn` asks the same again
  useEffect(() => {
    const next = JSON.parse(key) as Ask | null;
    if (next === null) return;
    setStopped(false);
    setWorking(true);
    setProgress(undefined);
    let live = true;
    timer.current = setTimeout(() => {
      asking.current ??= asker();
      const hear = (heard: FromReach) => {
        if (!live) return;
        if (heard.kind === 'progress') return setProgress(heard);
        setWorking(false);
        setAnswer(heard);
      };
      void asking.current.ask({ fleet, question: next, hear });
    }, SETTLE_MS);
    return () => {
      live = false;
      clearTimeout(timer.current);
    };
  }, [fleet, key, turn]);
  const stop = () => {
    clearTimeout(timer.current);
    asking.current?.end();
    setWorking(false);
    setStopped(true);
  };
  return { answer, working, progress, stopped, stop, again: () => setTurn((n) => n + 1) };
}

/** Who can draw at one site, or at every one; null asks nothing. */
export const useHere = (fleet: Fleet, today: number, place: Place | null): Worked =>
  useReach(fleet, place && { kind: 'here', today, place });

/** Who may draw from a hose at a minute of the week; null asks nothing. */
export const useNames = (
  fleet: Fleet,
  today: number,
  picked: { readonly place: Place; readonly hose: string; readonly minute: number } | null,
): Worked => useReach(fleet, picked && { kind: 'names', today, ...picked });

/** What the draft changes for whom since a release; since nothing where there was none. About one record: only what concerns it. */
export const useDifference = (since: number | null, fleet: Fleet, today: number, about: About | null = null): Worked =>
  useReach(fleet, { kind: 'change', today, since, about }, differences);

/** How two fleets, or two sites, compare; null asks nothing. */
export const useCompared = (fleet: Fleet, today: number, asked: { pair: Pair; within: Within } | null): Worked =>
  useReach(fleet, asked && { kind: 'compare', today, ...asked }, differences);

/** Who is behind one stretch of the week in which two differ; null asks nothing. */
export const useBehind = (fleet: Fleet, today: number, asked: Stretched | null): Worked =>
  useReach(fleet, asked && { kind: 'behind', today, ...asked }, differences);

export interface Expected {
  /** By id; the last ones stay while newer ones are worked out. */
  readonly verdicts: ReadonlyMap<string, Verdict> | undefined;
  readonly working: boolean;
  readonly failed: string | undefined;
}

/** Whether the expectations of the draft hold. */
export function useExpectations(fleet: Fleet, today: number): Expected {
  const { answer, working } = useReach(fleet, fleet.expectations.size === 0 ? null : { kind: 'expectations', today });
  return {
    verdicts: answer?.kind === 'expectations' ? answer.verdicts : undefined,
    working,
    failed: answer?.kind === 'failed' ? answer.sentence : undefined,
  };
}

import { problem } from '@fillwright/core/errors';
import type { ReplyOf, RouteName } from '@fillwright/wire';
import { useQuery } from '@tanstack/react-query';
import { useCallback, useEffect, useRef, useState } from 'react';
import type { Going } from '../show/going.tsx';
import { hearProgress } from './events.ts';
import { CallError, type GiveOf, longHub, queryClient } from './hub.ts';

/** Puts a question that may take long, hearing how far it is; aborted, the hub drops it. */
async function askLong<N extends RouteName>(
  name: N,
  give: GiveOf<N>,
  signal: AbortSignal,
  hears: (progress: Going['progress']) => void,
): Promise<ReplyOf<N>> {
  const asked = crypto.randomUUID();
  const deaf = hearProgress(asked, hears);
  try {
    const answer = await longHub(name, give, asked, signal);
    if (!answer.ok) throw new CallError(answer.error);
    return answer.value;
  } finally {
    deaf();
    hears(undefined);
  }
}

/** A question of which one sees how far it is, and which one can stop. */
export function useLongAsk<N extends RouteName>(name: N, give: GiveOf<N>) {
  const [progress, setProgress] = useState<Going['progress']>();
  const [stopped, setStopped] = useState(false);
  const key = [name, give];
  const query = useQuery<ReplyOf<N>, CallError>({
    queryKey: key,
    queryFn: ({ signal }) => askLong(name, give, signal, setProgress),
    enabled: !stopped,
  });
  const going: Going = {
    working: query.isFetching,
    progress,
    stopped,
    stop: () => {
      setStopped(true);
      void queryClient.cancelQueries({ queryKey: key });
    },
    again: () => setStopped(false),
  };
  return { ...query, going };
}

const UNKNOWN = problem('FW-911');

/** Something that the hub is told to do and that takes long: one sees how far it is, and can stop it; leaving the page stops it too. */
export function useLongDo<N extends RouteName>(name: N) {
  const [progress, setProgress] = useState<Going['progress']>();
  const [working, setWorking] = useState(false);
  const [stopped, setStopped] = useState(false);
  const [error, setError] = useState<CallError>();
  const stopper = useRef<AbortController>(undefined);
  useEffect(() => () => stopper.current?.abort(), []);
  const reset = () => {
    setError(undefined);
    setStopped(false);
  };
  const begin = async (give: GiveOf<N>, then: (answer: ReplyOf<N>) => void) => {
    const own = new AbortController();
    stopper.current = own;
    reset();
    setWorking(true);
    try {
      then(await askLong(name, give, own.signal, setProgress));
    } catch (cause) {
      if (own.signal.aborted) setStopped(true);
      else
        setError(cause instanceof CallError ? cause : new CallError({ status: 0, problem: UNKNOWN, all: [UNKNOWN] }));
    } finally {
      setWorking(false);
    }
  };
  const stop = useCallback(() => stopper.current?.abort(), []);
  return { begin, reset, error, going: { working, progress, stopped, stop } };
}

/** A file of the hub that takes long to make: asked for, shown how far it is, and kept under its name. */
export function useLongFile<N extends RouteName>(name: N, give: GiveOf<N>, file: string) {
  const { begin, error, going } = useLongDo(name);
  const made = (bytes: unknown) => keep(new Blob([bytes as ArrayBuffer], { type: 'application/pdf' }), file);
  return { begin: () => void begin(give, made), error, going };
}

function keep(file: Blob, name: string): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(file);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

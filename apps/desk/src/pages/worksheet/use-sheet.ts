import type { WorksheetReply } from '@fillwright/wire';
import { useCallback, useEffect, useState } from 'react';
import { useAsk } from '../../data/hub.ts';
import type { ProblemLike } from '../../look/problem-note.tsx';
import { dropWaiting, keepSheet, keepWaiting, keptSheet, sendWaiting, type Waiting, waitingOf } from './outbox.ts';

/** Between two tries to send, while something waits. */
const AGAIN_MS = 10_000;

type NewWaiting = Waiting extends infer W ? (W extends Waiting ? Omit<W, 'id' | 'worksheet' | 'at'> : never) : never;

export interface SheetHere {
  /** As the office had it last; undefined until it has been read from there or from this browser. */
  readonly sheet: WorksheetReply | undefined;
  /** Why the office did not give it. */
  readonly trouble: ProblemLike | undefined;
  readonly waiting: readonly Waiting[];
  readonly unlinked: boolean;
  /** Why the office did not take what waits: a person must look. */
  readonly refused: ProblemLike | undefined;
  /** This browser could not keep what was pressed. */
  readonly unkept: boolean;
  readonly add: (what: NewWaiting) => Promise<void>;
  readonly send: () => Promise<void>;
  /** Forgets everything that was not sent. */
  readonly drop: () => Promise<void>;
}

/** A worksheet in this browser: what is done is kept here first, and sent as soon and as often as it takes. */
export function useSheet(id: string): SheetHere {
  const asked = useAsk('worksheet', { params: { id } });
  const [sheet, setSheet] = useState<WorksheetReply>();
  const [waiting, setWaiting] = useState<readonly Waiting[]>([]);
  const [unlinked, setUnlinked] = useState(false);
  const [refused, setRefused] = useState<ProblemLike>();
  const [unkept, setUnkept] = useState(false);

  const look = useCallback(async () => setWaiting(await waitingOf(id)), [id]);
  const send = useCallback(async () => {
    const sent = await sendWaiting(id);
    if (sent.sheet) setSheet(sent.sheet);
    setUnlinked(sent.unlinked);
    setRefused(sent.refused);
    await look();
  }, [id, look]);

  useEffect(() => {
    void keptSheet(id).then((kept) => kept && setSheet((now) => now ?? kept));
    void look().then(send);
  }, [id, look, send]);
  useEffect(() => {
    if (!asked.data) return;
    setSheet(asked.data);
    void keepSheet(asked.data);
  }, [asked.data]);
  const some = waiting.length > 0 && !refused;
  useEffect(() => {
    if (!some) return;
    const timer = setInterval(() => void send(), AGAIN_MS);
    const now = () => void send();
    window.addEventListener('online', now);
    return () => {
      clearInterval(timer);
      window.removeEventListener('online', now);
    };
  }, [some, send]);

  const add = async (what: NewWaiting) => {
    const one = { ...what, id: crypto.randomUUID(), worksheet: id, at: Date.now() } as Waiting;
    try {
      await keepWaiting(one);
    } catch {
      // Said in words on the page: what cannot be kept must not look kept.
      setUnkept(true);
      return;
    }
    await look();
    await send();
  };
  const drop = async () => {
    for (const w of waiting) await dropWaiting(w.id);
    setRefused(undefined);
    await look();
  };
  return { sheet, trouble: asked.error?.problem, waiting, unlinked, refused, unkept, add, send, drop };
}

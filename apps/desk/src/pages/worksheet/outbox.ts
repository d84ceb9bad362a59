import type { WorksheetReply } from '@fillwright/wire';
import { hub } from '../../data/hub.ts';
import type { ProblemLike } from '../../look/problem-note.tsx';

/** What was done at the island and the office does not have yet. */
export type Waiting = { readonly id: string; readonly worksheet: string; readonly at: number } & (
  | {
      readonly kind: 'result';
      readonly step: string;
      readonly verdict: 'good' | 'bad' | 'stands' | 'open';
      readonly note: string;
    }
  /** Base64. */
  | { readonly kind: 'photo'; readonly step: string; readonly data: string }
  | { readonly kind: 'signature'; readonly signer: string; readonly signature: string }
);

/** IndexedDB of this browser: it outlives the page, a reload and the power. */
function open(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open('fillwright-worksheets', 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore('sheets', { keyPath: 'id' });
      asked.result.createObjectStore('waiting', { keyPath: 'id' });
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
}

let opened: Promise<IDBDatabase> | undefined;

async function run<T>(
  store: 'sheets' | 'waiting',
  mode: IDBTransactionMode,
  work: (s: IDBObjectStore) => IDBRequest<T>,
): Promise<T> {
  opened ??= open();
  const db = await opened;
  return new Promise((resolve, reject) => {
    const tx = db.transaction(store, mode, { durability: 'strict' });
    const asked = work(tx.objectStore(store));
    // Kept only once the transaction is whole, not when the request is answered.
    tx.oncomplete = () => resolve(asked.result);
    tx.onerror = () => reject(tx.error);
    tx.onabort = () => reject(tx.error);
  });
}

export const keepSheet = (sheet: WorksheetReply) => run('sheets', 'readwrite', (s) => s.put(sheet));
export const keptSheet = (id: string): Promise<WorksheetReply | undefined> =>
  run('sheets', 'readonly', (s) => s.get(id) as IDBRequest<WorksheetReply | undefined>);

export const keepWaiting = (waiting: Waiting) => run('waiting', 'readwrite', (s) => s.put(waiting));
export const dropWaiting = (id: string) => run('waiting', 'readwrite', (s) => s.delete(id));
export async function waitingOf(worksheet: string): Promise<Waiting[]> {
  const all = await run('waiting', 'readonly', (s) => s.getAll() as IDBRequest<Waiting[]>);
  return all.filter((w) => w.worksheet === worksheet).sort((a, b) => a.at - b.at);
}

export interface Sent {
  /** The sheet as the office has it now, where something went. */
  readonly sheet?: WorksheetReply;
  /** Not heard: it will be tried again. */
  readonly unlinked: boolean;
  /** Refused: a person must look. */
  readonly refused?: ProblemLike;
}

let sending: Promise<unknown> = Promise.resolve();

/** One after the other: what was pressed while something is on its way goes with the next. */
export function sendWaiting(worksheet: string): Promise<Sent> {
  const mine = sending.then(() => sendNow(worksheet));
  sending = mine.catch(() => undefined);
  return mine;
}

/** Sends what waits: results, then photos, then the signature, each taken off only when the office has it. */
async function sendNow(worksheet: string): Promise<Sent> {
  const waiting = await waitingOf(worksheet);
  const params = { id: worksheet };
  let sheet: WorksheetReply | undefined;
  const results = waiting.filter((w) => w.kind === 'result');
  for (let i = 0; i < results.length; i += 200) {
    const part = results.slice(i, i + 200);
    const body = { results: part.map(({ id, step, verdict, at, note }) => ({ id, step, verdict, at, note })) };
    const answer = await hub('addResults', { params, body });
    if (!answer.ok) return failed(answer.error, sheet);
    sheet = answer.value;
    for (const w of part) await dropWaiting(w.id);
  }
  for (const w of waiting) {
    if (w.kind !== 'photo') continue;
    const answer = await hub('addPhoto', { params, body: { id: w.id, step: w.step, at: w.at, data: w.data } });
    if (!answer.ok) return failed(answer.error, sheet);
    await dropWaiting(w.id);
  }
  const last = waiting.findLast((w) => w.kind === 'signature');
  if (last?.kind === 'signature') {
    const body = { at: last.at, signer: last.signer, signature: last.signature };
    const answer = await hub('signWorksheet', { params, body });
    if (!answer.ok) return failed(answer.error, sheet);
    sheet = answer.value;
    await dropWaiting(last.id);
  }
  if (sheet) await keepSheet(sheet);
  return { ...(sheet ? { sheet } : {}), unlinked: false };
}

const failed = (e: { status: number; problem: ProblemLike }, sheet: WorksheetReply | undefined): Sent => ({
  ...(sheet ? { sheet } : {}),
  ...(e.status === 0 ? { unlinked: true } : { unlinked: false, refused: e.problem }),
});

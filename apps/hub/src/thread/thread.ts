import { Worker } from 'node:worker_threads';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { sendable } from '@fillwright/core/fleet';
import type { Logger } from 'pino';

/** What a thread is asked and what it answers, by kind. */
type Answers = Readonly<Record<string, unknown>>;
interface Asked {
  readonly kind: string;
  /** What the thread keeps of it until the next question, by a name that changes with its content. */
  readonly holds?: string | undefined;
}

/** From the thread: how far it is, then the answer or why there is none. */
type Said =
  | { readonly id: number; readonly progress: { readonly done: number; readonly of: number } }
  | { readonly id: number; readonly answer: unknown }
  | { readonly id: number; readonly failed: string };

/** Long work in a thread of its own, so that the office goes on answering meanwhile. */
export interface Thread<Q extends Asked, A extends Answers> {
  /**
   * The answer; one question at a time, in order. A question whose signal is aborted is dropped, also while it is worked on (FW-322).
   * What was asked under the same key is answered from memory. The question is made when its turn comes, and hears what the thread holds
   * of the one before, so that it need not be sent again. FW-323 where the thread ends or fails.
   */
  ask<K extends Q['kind']>(
    key: string,
    question: (held: string | undefined) => Promise<Extract<Q, { kind: K }>>,
    options?: AskOptions,
  ): Promise<Result<A[K], Problem[]>>;
  stop(): Promise<void>;
}

export interface AskOptions {
  readonly signal?: AbortSignal | undefined;
  readonly say?: ((progress: { readonly done: number; readonly of: number }) => void) | undefined;
}

export interface ThreadOptions {
  /** The file that exports `work`: a generator, which may be asynchronous, that yields progress and returns the answer. */
  readonly work: URL;
  /** What is worked out, for the log. */
  readonly what: string;
  /** So many answers are kept, the newest. */
  readonly kept: number;
  /** V8 ends the thread where it would hold more than so many MB, so that a question too large ends the answer and not the office. */
  readonly memoryMb: number;
}

/** Of young objects; they stand beside the others. */
const YOUNG_MB = 64;

export function openThread<Q extends Asked, A extends Answers>(log: Logger, options: ThreadOptions): Thread<Q, A> {
  let worker: Worker | undefined;
  let hear: (said: Said | string) => void = () => {};
  let last: Promise<unknown> = Promise.resolve();
  let count = 0;
  let held: string | undefined;
  const kept = new Map<string, unknown>();

  const end = async () => {
    const ending = worker;
    worker = undefined;
    held = undefined;
    hear = () => {};
    await ending?.terminate();
  };

  /** The thread brings its own loader, so it needs none of the process's arguments. */
  const begin = (): Worker => {
    const made = new Worker(new URL('./worker.mjs', import.meta.url), {
      execArgv: [],
      resourceLimits: { maxOldGenerationSizeMb: options.memoryMb, maxYoungGenerationSizeMb: YOUNG_MB },
      workerData: options.work.href,
    });
    const tell = (said: Said | string) => made === worker && hear(said);
    made.on('message', tell);
    made.on('error', (e) => tell(e.message));
    made.on('exit', () => tell('the thread ended'));
    return made;
  };

  const run = (question: Q, { signal, say }: AskOptions) =>
    new Promise<Result<unknown, Problem[]>>((resolve) => {
      if (signal?.aborted) return resolve(err([problem('FW-322')]));
      const id = ++count;
      worker ??= begin();
      const settle = (result: Result<unknown, Problem[]>) => {
        signal?.removeEventListener('abort', stopped);
        hear = () => {};
        // An idle thread keeps no process from ending.
        worker?.unref();
        resolve(result);
      };
      const stopped = () => {
        void end();
        settle(err([problem('FW-322')]));
      };
      signal?.addEventListener('abort', stopped);
      hear = (said) => {
        if (typeof said === 'string' || 'failed' in said) {
          log.error(`${options.what} could not be worked out: ${typeof said === 'string' ? said : said.failed}`);
          void end();
          settle(err([problem('FW-323')]));
        } else if (said.id !== id) return;
        else if ('progress' in said) say?.(said.progress);
        else {
          held = question.holds;
          settle(ok(said.answer));
        }
      };
      worker.ref();
      worker.postMessage({ id, question: sendable(question) });
    });

  return {
    async ask(key, question, how = {}) {
      const known = kept.get(key);
      if (known !== undefined) return ok(known as never);
      const turn = last.then(async () => {
        const meanwhile = kept.get(key);
        if (meanwhile !== undefined) return ok(meanwhile);
        const answer = await run(await question(held), how);
        if (answer.ok) {
          kept.set(key, answer.value);
          for (const oldest of kept.keys()) {
            if (kept.size <= options.kept) break;
            kept.delete(oldest);
          }
        }
        return answer;
      });
      last = turn.catch(() => {});
      return (await turn) as never;
    },
    stop: end,
  };
}

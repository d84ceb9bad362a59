import { Worker } from 'node:worker_threads';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import type { Logger } from 'pino';
import type { AnswerTo, Kind, Question, Said } from './question.ts';

/** Reach is worked out in a thread of its own, so that an office with a large roster goes on answering meanwhile. */
export interface ReachThread {
  /**
   * The answer; one question at a time, in order. A question whose signal is aborted is dropped, also while it is worked on (FW-322).
   * What was asked under the same key is answered from memory. FW-323 where the thread ends or fails.
   */
  ask<K extends Kind>(
    key: string,
    question: () => Promise<Extract<Question, { kind: K }>>,
    options?: AskOptions,
  ): Promise<Result<AnswerTo[K], Problem[]>>;
  stop(): Promise<void>;
}

export interface AskOptions {
  readonly signal?: AbortSignal | undefined;
  readonly say?: ((progress: { readonly done: number; readonly of: number }) => void) | undefined;
}

/** V8 ends the thread at these, so that a question too large ends the answer and not the office. */
const MEMORY = { maxOldGenerationSizeMb: 3072, maxYoungGenerationSizeMb: 64 };
const KEPT = 6;

export function openReachThread(log: Logger): ReachThread {
  let worker: Worker | undefined;
  let hear: (said: Said | string) => void = () => {};
  let last: Promise<unknown> = Promise.resolve();
  let count = 0;
  const kept = new Map<string, AnswerTo[Kind]>();

  const end = async () => {
    const ending = worker;
    worker = undefined;
    hear = () => {};
    await ending?.terminate();
  };

  /** The thread brings its own loader, so it needs none of the process's arguments. */
  const begin = (): Worker => {
    const made = new Worker(new URL('./worker.mjs', import.meta.url), { execArgv: [], resourceLimits: MEMORY });
    const tell = (said: Said | string) => made === worker && hear(said);
    made.on('message', tell);
    made.on('error', (e) => tell(e.message));
    made.on('exit', () => tell('the thread ended'));
    return made;
  };

  const run = (question: Question, { signal, say }: AskOptions) =>
    new Promise<Result<AnswerTo[Kind], Problem[]>>((resolve) => {
      if (signal?.aborted) return resolve(err([problem('FW-322')]));
      const id = ++count;
      worker ??= begin();
      const settle = (result: Result<AnswerTo[Kind], Problem[]>) => {
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
          log.error(`reach could not be worked out: ${typeof said === 'string' ? said : said.failed}`);
          void end();
          settle(err([problem('FW-323')]));
        } else if (said.id !== id) return;
        else if ('progress' in said) say?.(said.progress);
        else settle(ok(said.answer));
      };
      worker.ref();
      worker.postMessage({ id, question });
    });

  return {
    async ask(key, question, options = {}) {
      const known = kept.get(key);
      if (known) return ok(known as never);
      const turn = last.then(async () => {
        const meanwhile = kept.get(key);
        if (meanwhile) return ok(meanwhile);
        const answer = await run(await question(), options);
        if (answer.ok) {
          kept.set(key, answer.value);
          for (const oldest of kept.keys()) {
            if (kept.size <= KEPT) break;
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

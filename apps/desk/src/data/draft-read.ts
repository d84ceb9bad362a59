import { err, type Problem, problem, type Result } from '@fillwright/core/errors';
import { type AnyRow, emptyFleet, type Fleet, fromJson, type Settings } from '@fillwright/core/fleet';
import type { ReplyOf } from '@fillwright/wire';
import { type Part, partsBetween, takePart } from './findings-message.ts';
import { hub } from './hub.ts';

/** The draft as the hub has it. */
export interface ReadDraft extends Omit<ReplyOf<'draft'>, 'fleet'> {
  readonly fleet: Fleet;
}

/** What the worker that reads the draft says: its rows in parts, then what else there is to it, or why it could not be read. */
export type FromReader =
  | { readonly part: Part }
  | { readonly read: Omit<ReadDraft, 'fleet'> & { readonly settings: Settings } }
  | { readonly failed: Problem };

/** Reads and checks the draft where it stands: of a large roster this takes long. */
export async function readHere(ask: typeof hub = hub): Promise<Result<ReadDraft, Problem>> {
  const answer = await ask('draft', {});
  if (!answer.ok) return err(answer.error.problem);
  const fleet = fromJson(answer.value.fleet);
  return fleet.ok
    ? { ok: true, value: { ...answer.value, fleet: fleet.value } }
    : err(fleet.error[0] ?? problem('FW-505'));
}

export function* told({ fleet, ...rest }: ReadDraft): Generator<FromReader> {
  for (const part of partsBetween(undefined, fleet)) yield { part };
  yield { read: { ...rest, settings: fleet.settings } };
}

/** Reads the draft in a worker, so that the page stays awake; where no worker can be had, here. */
export const readBeside = (): Promise<Result<ReadDraft, Problem>> =>
  new Promise((resolve) => {
    const worker = new Worker(new URL('./draft-worker.ts', import.meta.url), { type: 'module' });
    const end = (result: Result<ReadDraft, Problem> | Promise<Result<ReadDraft, Problem>>) => {
      worker.terminate();
      resolve(result);
    };
    const tables: Record<string, Map<string, AnyRow>> = {};
    worker.onmessage = ({ data }: MessageEvent<FromReader>) => {
      if ('part' in data) {
        for (const row of data.part.rows) Object.freeze(row);
        takePart(tables, data.part);
      } else if ('failed' in data) end(err(data.failed));
      else {
        const { settings, ...rest } = data.read;
        end({ ok: true, value: { ...rest, fleet: { ...emptyFleet(settings), ...tables } as unknown as Fleet } });
      }
    };
    worker.onerror = () => end(readHere());
  });

import { Worker } from 'node:worker_threads';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { type InputFile, type Limits, type Parcel, type RawRow, readBytes } from './reading/read-bytes.mjs';

export type { InputFile, Limits, RawRow } from './reading/read-bytes.mjs';

export interface RawSheet {
  readonly name: string;
  readonly rows: readonly RawRow[];
}

/** What a file says, as text; `problems` are what was seen on the way and kept nothing else from being read (such as formulas). */
export interface RawIntake {
  readonly sheets: readonly RawSheet[];
  readonly problems: readonly Problem[];
}

export const LIMITS: Limits = {
  fileBytes: 20_000_000,
  unpackedBytes: 120_000_000,
  entries: 500,
  sheets: 60,
  columns: 300,
  rows: 200_000,
  cells: 1_500_000,
  characters: 20_000_000,
  cellCharacters: 100_000,
};

/** How long one reading may take, in milliseconds. */
export const TIME_LIMIT_MS = 5000;

/** Memory of the reading thread: V8 ends it at these, whatever a file makes it do. */
export const RESOURCE_LIMITS = { maxOldGenerationSizeMb: 96, maxYoungGenerationSizeMb: 16, stackSizeMb: 4 } as const;

export interface ReadOptions {
  readonly limits?: Partial<Limits>;
  readonly timeLimitMs?: number;
  /** Aborted, the reading ends (FW-322). */
  readonly signal?: AbortSignal | undefined;
  readonly memory?: { readonly maxOldGenerationSizeMb: number; readonly maxYoungGenerationSizeMb: number };
}

/**
 * Reads an .xlsx, a .csv or a zip of .csv files as sheets of text, in a thread of its own with capped memory and time.
 * Never throws for bad input: FW-101 not what its name says, FW-102 too large, FW-108 two sheets of one name, FW-109 unknown
 * encoding, FW-110 too slow, FW-322 stopped.
 */
export const readIntake = (
  bytes: Uint8Array,
  fileName: string,
  options: ReadOptions = {},
): Promise<Result<RawIntake>> => readIntakeFiles([{ name: fileName, bytes }], options);

/** As `readIntake`, for a folder of .csv files given one by one; each file becomes a sheet of its name. */
export function readIntakeFiles(files: readonly InputFile[], options: ReadOptions = {}): Promise<Result<RawIntake>> {
  const limits = { ...LIMITS, ...options.limits };
  const tooLarge = beforeReading(files, limits);
  if (tooLarge) return Promise.resolve(err(tooLarge));
  const { signal } = options;
  if (signal?.aborted) return Promise.resolve(err(problem('FW-322')));
  return new Promise((resolve) => {
    const made = assembly();
    // The thread's own code is plain JavaScript, so it needs no loader; it inherits neither arguments nor environment.
    const worker = new Worker(new URL('./reading/worker.mjs', import.meta.url), {
      workerData: { files: files.map((f) => ({ name: f.name, bytes: f.bytes })), limits },
      resourceLimits: { ...RESOURCE_LIMITS, ...options.memory },
      execArgv: [],
      env: {},
      stdin: false,
    });
    let settled = false;
    const settle = (result: Result<RawIntake>) => {
      if (settled) return;
      settled = true;
      clearTimeout(timer);
      signal?.removeEventListener('abort', stopped);
      void worker.terminate();
      resolve(result);
    };
    const stopped = () => settle(err(problem('FW-322')));
    signal?.addEventListener('abort', stopped);
    const timeLimitMs = options.timeLimitMs ?? TIME_LIMIT_MS;
    const timer = setTimeout(
      () => settle(err(problem('FW-110', { at: nameOf(files), expected: `at most ${timeLimitMs / 1000} s` }))),
      timeLimitMs,
    );
    worker.on('message', (parcel: Parcel) => {
      const result = made.take(parcel);
      if (result) settle(result);
    });
    worker.on('error', (error: Error & { code?: string }) =>
      settle(
        err(
          error.code === 'ERR_WORKER_OUT_OF_MEMORY'
            ? problem('FW-102', { at: nameOf(files), found: 'more than fits the memory of a reading' })
            : problem('FW-101', { at: nameOf(files), found: error.message.slice(0, 200) }),
        ),
      ),
    );
    worker.on('exit', () =>
      settle(err(problem('FW-101', { at: nameOf(files), found: 'the reading ended before the file did' }))),
    );
  });
}

/** The same reading in this thread: the same caps on the input, but no cap on memory and time. */
export async function readIntakeHere(
  files: readonly InputFile[],
  limits: Partial<Limits> = {},
): Promise<Result<RawIntake>> {
  const all = { ...LIMITS, ...limits };
  const tooLarge = beforeReading(files, all);
  if (tooLarge) return err(tooLarge);
  const made = assembly();
  let result: Result<RawIntake> | undefined;
  await readBytes(files, all, (parcel) => {
    result = made.take(parcel) ?? result;
  });
  return result ?? err(problem('FW-101', { at: nameOf(files) }));
}

const nameOf = (files: readonly InputFile[]) => ({ in: files[0]?.name ?? 'import' });

// Checked before the bytes are copied into another thread.
function beforeReading(files: readonly InputFile[], limits: Limits): Problem | undefined {
  const size = files.reduce((sum, file) => sum + file.bytes.length, 0);
  return size > limits.fileBytes
    ? problem('FW-102', { at: nameOf(files), found: `${size} bytes`, expected: `at most ${limits.fileBytes} bytes` })
    : undefined;
}

function assembly() {
  const sheets: { name: string; rows: RawRow[] }[] = [];
  const problems: Problem[] = [];
  return {
    take(parcel: Parcel): Result<RawIntake> | undefined {
      switch (parcel.kind) {
        case 'sheet':
          sheets.push({ name: parcel.name, rows: [] });
          return undefined;
        case 'rows': {
          const rows = sheets.at(-1)?.rows;
          for (const row of parcel.rows) rows?.push(row);
          return undefined;
        }
        case 'note':
          problems.push(problem(parcel.code, parcel.detail));
          return undefined;
        case 'refused':
          return err(problem(parcel.code, parcel.detail));
        case 'done':
          return ok({ sheets, problems });
      }
    },
  };
}

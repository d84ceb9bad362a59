import { readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import type { Plugin, TestProjectInlineConfiguration } from 'vitest/config';
import { createVitest, type TestCase, type TestModule } from 'vitest/node';
import type { Planted } from './fault.ts';

export interface Outcome {
  /** Names of the checks that failed. */
  readonly failed: readonly string[];
  /** How many passed in spite of the fault. */
  readonly passed: number;
  /** The file was loaded with the fault in it, and its checks ran. */
  readonly planted: boolean;
  /** The check that must notice it did. */
  readonly caught: boolean;
}

export const ROOT = resolve(import.meta.dirname, '../..');

/** The source with the fault in it. @throws RangeError where what it replaces does not stand there exactly once. */
export function withFault(
  { id, file, find, replace }: Planted,
  source = readFileSync(join(ROOT, file), 'utf8'),
): string {
  const parts = source.split(find);
  if (parts.length !== 2) throw new RangeError(`${id}: what it replaces stands ${parts.length - 1} times in ${file}`);
  return parts.join(replace);
}

function plant(fault: Planted, loaded: Set<string>): Plugin {
  const file = join(ROOT, fault.file);
  return {
    name: `planted-${fault.id}`,
    enforce: 'pre',
    transform(_code, id) {
      if (id.split('?')[0] !== file) return undefined;
      loaded.add(fault.id);
      return { code: withFault(fault), map: null };
    },
  };
}

/**
 * Runs, for each fault, the check that must notice it, against the source with this one fault: as vitest loads the file it gets the changed one,
 * and the tree on the disk stays as it is. Each fault is a project of its own, so that no two meet.
 */
export async function runPlanted(faults: readonly Planted[]): Promise<ReadonlyMap<string, Outcome>> {
  const loaded = new Set<string>();
  const failed = new Map<string, string[]>();
  const passed = new Map<string, number>();
  const literal = (text: string) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
  const vitest = await createVitest('test', {
    root: ROOT,
    config: false,
    watch: false,
    maxWorkers: 2,
    testNamePattern: new RegExp([...new Set(faults.map((f) => literal(f.by)))].join('|')),
    projects: faults.map(
      (fault): TestProjectInlineConfiguration => ({
        root: ROOT,
        plugins: [plant(fault, loaded)],
        test: { name: fault.id, include: [fault.test], testTimeout: 60_000, hookTimeout: 60_000, retry: 0 },
      }),
    ),
    reporters: [
      {
        onTestCaseResult(test: TestCase) {
          const { name } = test.project;
          const { state } = test.result();
          if (state === 'failed') failed.set(name, [...(failed.get(name) ?? []), test.name]);
          else if (state === 'passed') passed.set(name, (passed.get(name) ?? 0) + 1);
        },
        onTestModuleEnd(module: TestModule) {
          for (const error of module.errors()) process.stderr.write(`${module.project.name}: ${error.message}\n`);
        },
      },
    ],
  });
  try {
    await vitest.start();
  } finally {
    await vitest.close();
  }
  return new Map(
    faults.map((f) => {
      const names = failed.get(f.id) ?? [];
      const planted = loaded.has(f.id);
      return [
        f.id,
        {
          failed: names,
          passed: passed.get(f.id) ?? 0,
          planted,
          caught: planted && names.some((n) => n.includes(f.by)),
        },
      ];
    }),
  );
}

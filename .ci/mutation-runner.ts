import { readdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { INSTRUMENTER_CONSTANTS, type InstrumenterContext } from '@stryker-mutator/api/core';
import { declareClassPlugin, PluginKind } from '@stryker-mutator/api/plugin';
import {
  type CompleteDryRunResult,
  type DryRunResult,
  DryRunStatus,
  determineHitLimitReached,
  type MutantRunOptions,
  type MutantRunResult,
  type TestResult,
  type TestRunner,
  TestStatus,
  toMutantRunResult,
} from '@stryker-mutator/api/test-runner';
import { type Planted, tests } from './mutation-vitest.ts';

/**
 * Runs the tests of one folder inside one process that stays: a change is judged in as long as a test takes to fail, without reading a module
 * again. The test that noticed the last change is asked first about the next, since neighbours mostly fall to the same one; then the quickest.
 */
class InOneProcess implements TestRunner {
  /** What the planted code looks at: one object for as long as the process lives. */
  private readonly planted: InstrumenterContext = {};
  private order: (Planted & { readonly file: string; took: number })[] = [];

  constructor() {
    Object.assign(globalThis, { [INSTRUMENTER_CONSTANTS.NAMESPACE]: this.planted });
  }

  /** What is read while modules load is judged by a process that is started anew. */
  capabilities() {
    return { reloadEnvironment: false };
  }

  async dryRun(): Promise<DryRunResult> {
    const result = await this.run(null);
    return { ...result, mutantCoverage: this.planted.mutantCoverage ?? { static: {}, perTest: {} } };
  }

  async mutantRun(options: MutantRunOptions): Promise<MutantRunResult> {
    const { testFilter, hitLimit, activeMutant, mutantActivation } = options;
    if (mutantActivation === 'runtime') await this.load();
    Object.assign(this.planted, { activeMutant: activeMutant.id, hitCount: 0, hitLimit });
    const result = await this.run(testFilter ? new Set(testFilter) : null);
    delete this.planted.activeMutant;
    return toMutantRunResult(determineHitLimitReached(this.planted.hitCount, hitLimit) ?? result);
  }

  private async load(): Promise<void> {
    if (tests.length > 0) return;
    const folder = resolve('packages/core/src', process.env.FILLWRIGHT_MUTATED as string);
    for (const name of readdirSync(folder, { recursive: true, encoding: 'utf8' }).sort()) {
      if (!name.endsWith('.test.ts') || !new RegExp(process.env.FILLWRIGHT_ASKED ?? '').test(name)) continue;
      const file = join(folder, name);
      await import(pathToFileURL(file).href);
      this.order.push(...tests.slice(this.order.length).map((t) => ({ ...t, file, took: 0 })));
    }
  }

  /** Stops at the first that fails. */
  private async run(only: ReadonlySet<string> | null): Promise<CompleteDryRunResult> {
    await this.load();
    const results: TestResult[] = [];
    const [first, ...rest] = this.order;
    this.order = [...(first ? [first] : []), ...rest.sort((a, b) => a.took - b.took)];
    for (const test of this.order.filter((t) => only?.has(t.name) ?? true)) {
      const told = { id: test.name, name: test.name, fileName: test.file };
      const start = performance.now();
      this.planted.currentTestId = test.name;
      try {
        await test.run();
        test.took = performance.now() - start;
        results.push({ ...told, status: TestStatus.Success, timeSpentMs: test.took });
      } catch (error) {
        const failureMessage = String(error).slice(0, 500);
        results.push({ ...told, status: TestStatus.Failed, timeSpentMs: performance.now() - start, failureMessage });
        this.order = [test, ...this.order.filter((t) => t !== test)];
        break;
      } finally {
        delete this.planted.currentTestId;
      }
    }
    return { status: DryRunStatus.Complete, tests: results };
  }
}

export const strykerPlugins = [declareClassPlugin(PluginKind.TestRunner, 'one-process', InOneProcess)];

import { JestAsymmetricMatchers, JestChaiExpect, JestExtend } from '@vitest/expect';
import * as chai from 'chai';

/** What our test files take from vitest, for the runner of planted changes: tests are kept in a list, and `expect` is vitest's own. */
export interface Planted {
  readonly name: string;
  readonly run: () => unknown;
}

export const tests: Planted[] = [];
const names: string[] = [];

chai.config.useProxy = false;
for (const plugin of [JestExtend, JestChaiExpect, JestAsymmetricMatchers]) chai.use(plugin);
export const expect = chai.expect;

export function describe(name: string, body: () => void): void {
  names.push(name);
  body();
  names.pop();
}

export function it(name: string, ...rest: readonly [...options: object[], run: () => unknown]): void {
  tests.push({ name: [...names, name].join(' '), run: rest.at(-1) as () => unknown });
}

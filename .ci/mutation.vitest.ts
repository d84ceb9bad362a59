import { defineConfig } from 'vitest/config';

// The tests of the one folder that is changed, which hold it to brute force or to an independent reading: each change is judged within seconds.
export default defineConfig({
  test: {
    include: [`packages/core/src/${process.env.FILLWRIGHT_MUTATED}/**/*.test.ts`],
    testTimeout: 60_000,
    maxWorkers: 1,
  },
});

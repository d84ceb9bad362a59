import { defineConfig } from 'vitest/config';

// Two projects: `unit` is quick and pure or nearly so; `e2e` starts processes, databases, brokers and a browser.
export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'unit',
          include: [
            'packages/**/*.test.ts',
            'apps/*/src/**/*.test.{ts,tsx}',
            '.ci/*.test.ts',
            'bench/**/*.test.ts',
            'e2e/sim/*.test.ts',
          ],
          testTimeout: 60_000,
          hookTimeout: 120_000,
        },
      },
      {
        test: {
          name: 'e2e',
          include: ['e2e/**/*.test.ts'],
          exclude: ['e2e/sim/**', '**/node_modules/**'],
          testTimeout: 300_000,
          hookTimeout: 180_000,
          fileParallelism: false,
          // A browser on a shared two-core machine can be starved for seconds: one more try tells a stall from a fault.
          retry: 1,
        },
      },
    ],
    maxWorkers: 2,
    reporters: process.env.FILLWRIGHT_REPORT ? ['default', 'json'] : ['default'],
    ...(process.env.FILLWRIGHT_REPORT ? { outputFile: { json: process.env.FILLWRIGHT_REPORT } } : {}),
  },
});

import { readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import react from '@vitejs/plugin-react';
import { defineConfig, type Plugin } from 'vite';

/** The worker that stands by offline must lie at the root under a name that stays, and know every file that was written. */
const OFFLINE = 'offline';
const standBy: Plugin = {
  name: 'stand-by',
  writeBundle({ dir = '' }, bundle) {
    const worker = bundle[`${OFFLINE}.js`];
    if (worker?.type !== 'chunk' || worker.imports.length > 0) throw new Error('the offline worker must be one file');
    const files = ['/mark.svg', ...readdirSync(join(dir, 'assets')).map((f) => `/assets/${f}`)];
    writeFileSync(join(dir, worker.fileName), `self.FILES=${JSON.stringify(files.sort())};\n${worker.code}`);
  },
};

// The hub serves what is built here; while developing, calls go on to a hub that runs beside (HUB names another).
export default defineConfig({
  root: import.meta.dirname,
  plugins: [react(), standBy],
  build: {
    outDir: 'dist',
    emptyOutDir: true,
    target: ['chrome123', 'firefox120', 'safari17.5'],
    chunkSizeWarningLimit: 1000,
    rollupOptions: {
      input: { index: `${import.meta.dirname}/index.html`, [OFFLINE]: `${import.meta.dirname}/src/offline/worker.ts` },
      output: {
        entryFileNames: (chunk) => (chunk.name === OFFLINE ? '[name].js' : 'assets/[name]-[hash].js'),
      },
    },
  },
  worker: { format: 'es' },
  server: { proxy: { '/api': process.env.HUB ?? 'http://127.0.0.1:8400' } },
});

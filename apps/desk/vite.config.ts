import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

// The hub serves what is built here; while developing, calls go on to a hub that runs beside (HUB names another).
export default defineConfig({
  root: import.meta.dirname,
  plugins: [react()],
  build: {
    outDir: 'dist',
    emptyOutDir: true,
    target: ['chrome123', 'firefox120', 'safari17.5'],
    chunkSizeWarningLimit: 1000,
  },
  worker: { format: 'es' },
  server: { proxy: { '/api': process.env.HUB ?? 'http://127.0.0.1:8400' } },
});

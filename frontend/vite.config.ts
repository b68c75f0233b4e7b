import { svelte } from '@sveltejs/vite-plugin-svelte';
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';
import { groups } from './build/chunks.ts';
import { serviceWorker } from './build/service-worker.ts';

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  root: here('.'),
  base: '/static/app/',
  plugins: [svelte(), serviceWorker(here('src/sw.ts'))],
  build: {
    outDir: here('static/app'),
    // The worker plugin removes what is older than the build before this one.
    emptyOutDir: false,
    reportCompressedSize: false,
    rolldownOptions: { output: { codeSplitting: { groups } } },
  },
  server: {
    proxy: {
      '/api': {
        target: process.env['TRENCHER_SERVER'] ?? 'http://127.0.0.1:8000',
        // The server compares Host with Origin, so it must see the address the browser uses.
        changeOrigin: false,
      },
    },
  },
});

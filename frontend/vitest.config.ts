import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  plugins: [svelte()],
  resolve: { conditions: ['browser'] },
  test: {
    include: ['src/**/*.test.ts'],
    environment: './src/test/environment.ts',
    setupFiles: ['src/test/setup.ts'],
    restoreMocks: true,
    // A busy machine is not a failure.
    testTimeout: 60_000,
    hookTimeout: 60_000,
  },
});

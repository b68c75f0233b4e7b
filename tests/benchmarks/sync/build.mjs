/**
 * Builds what runs in the pages: `node build.mjs FRONTEND CACHE`.
 *
 * Ours is built from the phone app's own sources with its own tools; the peers from the
 * cache folder, into which they were installed.
 */

import { createRequire } from 'node:module';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const [frontend, cache] = process.argv.slice(2);
const require = createRequire(join(frontend, 'package.json'));
const load = (name) => import(pathToFileURL(require.resolve(name)));
const { build } = await load('vite');
const { svelte } = await load('@sveltejs/vite-plugin-svelte');
const here = (path) => fileURLToPath(new URL(path, import.meta.url));

for (const [name, root, entry] of [
  ['ours', frontend, here('ours.ts')],
  ['pouchdb', cache, join(cache, 'pouchdb.js')],
  ['rxdb', cache, join(cache, 'rxdb.js')],
]) {
  await build({
    root,
    configFile: false,
    logLevel: 'error',
    publicDir: false,
    plugins: name === 'ours' ? [svelte({ configFile: join(frontend, 'svelte.config.js') })] : [],
    define: { global: 'globalThis', 'process.env.NODE_ENV': '"production"' },
    build: {
      outDir: join(cache, 'built'),
      emptyOutDir: false,
      reportCompressedSize: false,
      lib: {
        entry,
        formats: ['iife'],
        name: 'page',
        fileName: () => `${name}.js`,
      },
    },
  });
}

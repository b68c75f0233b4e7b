/**
 * Says how heavy the sync core is: `node core.mjs FRONTEND` prints its gzipped bytes, and the
 * bytes of each module in it.
 *
 * The core is what opens the store, reads it, writes to it and keeps it in step with the
 * server. Left out are the libraries (Dexie, Svelte, the hash) and what the kinds of records
 * declare, with the check of values that interprets it, and what the screens are told.
 */

import { createRequire } from 'node:module';
import { join, relative } from 'node:path';
import { pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';

const [frontend] = process.argv.slice(2);
const require = createRequire(join(frontend, 'package.json'));
const load = (name) => import(pathToFileURL(require.resolve(name)));
const { build } = await load('vite');
const { svelte } = await load('@sveltejs/vite-plugin-svelte');

const core = ['db/open.ts', 'db/read.ts', 'db/write.ts', 'db/sync/loop.ts'];
const entry = '\0core';
const virtual = {
  name: 'core',
  resolveId: (id) => (id === entry ? id : undefined),
  load: (id) =>
    id === entry
      ? core.map((path) => `export * from '${join(frontend, 'src', path)}';`).join('\n')
      : undefined,
};

const [{ output }] = [
  await build({
    root: frontend,
    configFile: false,
    logLevel: 'error',
    publicDir: false,
    plugins: [virtual, svelte({ configFile: join(frontend, 'svelte.config.js') })],
    build: {
      write: false,
      minify: true,
      rolldownOptions: {
        input: entry,
        preserveEntrySignatures: 'strict',
        external: [/^dexie/, /^svelte/, /^@noble/, /(declared|validate|state\.svelte)\.ts/],
      },
    },
  }),
].flat();
const chunks = output.filter((file) => file.type === 'chunk');
const modules = chunks
  .flatMap((chunk) => Object.entries(chunk.modules))
  .map(([id, module]) => [relative(frontend, id), module.renderedLength])
  .sort((a, b) => b[1] - a[1]);
const bytes = chunks.reduce((sum, { code }) => sum + gzipSync(code, { level: 9 }).length, 0);
process.stdout.write(JSON.stringify({ bytes, modules }));

/** Builds the service worker after the app, with the list of files that make up the shell. */

import { createHash } from 'node:crypto';
import { readFileSync, readdirSync, rmSync, writeFileSync, existsSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import { build, type Plugin, type ResolvedConfig } from 'vite';

interface PrecacheEntry {
  url: string;
  revision: string | null;
}

const HASHED = /^assets\/.+-[\w-]{8}\.\w+$/;
const HISTORY = 'builds.json';

function filesUnder(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)).split(sep).join('/'))
    .sort();
}

function digest(path: string): string {
  return createHash('sha256').update(readFileSync(path)).digest('hex').slice(0, 32);
}

/** The shell as the worker stores it: the page itself lives at "/", everything else under base. */
function precacheEntries(outDir: string, base: string, files: readonly string[]): PrecacheEntry[] {
  return files.map((file) => {
    const url = file === 'index.html' ? '/' : base + file;
    return { url, revision: HASHED.test(file) ? null : digest(join(outDir, file)) };
  });
}

/**
 * Removes hashed files that neither this build nor the one before it made.
 *
 * A page opened before an update still imports its own chunks; where no worker
 * holds them (plain http), the server has to keep them for one more build.
 */
function dropOldBuilds(outDir: string, current: readonly string[]): void {
  const history = join(outDir, HISTORY);
  const earlier: string[][] = existsSync(history)
    ? (JSON.parse(readFileSync(history, 'utf8')) as string[][])
    : [];
  const last = earlier.find((build) => build.join() !== current.join()) ?? [];
  const kept = new Set([...current, ...last]);
  for (const file of filesUnder(outDir)) {
    const original = file.replace(/\.(gz|br)$/, '');
    if (HASHED.test(original) && !kept.has(original)) rmSync(join(outDir, file));
    else if (original !== file) rmSync(join(outDir, file));
  }
  writeFileSync(history, JSON.stringify([current, last]));
}

export function serviceWorker(source: string): Plugin {
  let config: ResolvedConfig;
  let current: string[] = [];
  return {
    name: 'trencher-service-worker',
    apply: 'build',
    configResolved(resolved) {
      config = resolved;
    },
    writeBundle(_options, bundle) {
      current = Object.keys(bundle)
        .filter((file) => HASHED.test(file))
        .sort();
    },
    async closeBundle() {
      const outDir = config.build.outDir;
      dropOldBuilds(outDir, current);
      const shell = filesUnder(outDir).filter(
        (file) =>
          current.includes(file) || (!HASHED.test(file) && file !== 'sw.js' && file !== HISTORY),
      );
      await build({
        configFile: false,
        publicDir: false,
        logLevel: 'warn',
        define: {
          __PRECACHE__: JSON.stringify(precacheEntries(outDir, config.base, shell)),
          'process.env.NODE_ENV': '"production"',
        },
        build: {
          outDir,
          emptyOutDir: false,
          rollupOptions: {
            input: source,
            output: { format: 'iife', entryFileNames: 'sw.js' },
          },
        },
      });
    },
  };
}

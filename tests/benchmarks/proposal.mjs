/** Prints the phone's solver as one script: `node proposal.mjs FRONTEND`; it sets `propose`. */
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const [frontend] = process.argv.slice(2);
const require = createRequire(join(frontend, "package.json"));
const { build } = await import(pathToFileURL(require.resolve("vite")));
const entry = "\0proposal";
const from = join(frontend, "src/domain/proposal.ts");
const virtual = {
  name: "proposal",
  resolveId: (id) => (id === entry ? id : undefined),
  load: (id) =>
    id === entry
      ? `import { propose } from '${from}'; globalThis.propose = propose;`
      : undefined,
};
const [{ output }] = [
  await build({
    root: frontend,
    configFile: false,
    logLevel: "error",
    publicDir: false,
    plugins: [virtual],
    build: { write: false, minify: true, rolldownOptions: { input: entry } },
  }),
].flat();
process.stdout.write(output[0].code);

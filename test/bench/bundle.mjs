import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const at = (path) => fileURLToPath(new URL(path, import.meta.url));

/**
 * Bundles a program of this folder as the command line is bundled, so that what is measured is what runs.
 * @returns where the bundle lies
 */
export async function bundled(name) {
  const outfile = at(`../../build/bench/${name}.mjs`);
  await build({
    entryPoints: [at(`${name}.ts`)],
    outfile,
    bundle: true,
    platform: "node",
    target: "node20",
    format: "esm",
    logLevel: "warning",
    loader: { ".md": "text" },
    banner: {
      js: 'import { createRequire as __createRequire } from "node:module";\nconst require = __createRequire(import.meta.url);',
    },
  });
  return outfile;
}

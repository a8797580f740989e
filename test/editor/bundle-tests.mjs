// Bundles the tests that run inside VS Code, whose extension host loads plain CommonJS files and not TypeScript.
import * as esbuild from "esbuild";
import { readdirSync } from "node:fs";
import * as path from "node:path";
import { fileURLToPath } from "node:url";

const here = fileURLToPath(new URL(".", import.meta.url));
const suites = ["suite", "broken/fails", "broken/dies"];

/**
 * Writes each suite's `index.ts` and `*.test.ts` to the same place below a folder, as `.cjs`.
 * @param {string} outdir
 */
export async function bundleTests(outdir) {
  const sources = suites.flatMap((suite) =>
    readdirSync(path.join(here, suite))
      .filter((name) => name === "index.ts" || name.endsWith(".test.ts"))
      .map((name) => path.join(here, suite, name)),
  );
  await esbuild.build({
    entryPoints: sources,
    outdir,
    outbase: here,
    outExtension: { ".js": ".cjs" },
    bundle: true,
    platform: "node",
    target: "node20",
    format: "cjs",
    external: ["vscode", "mocha", "vscode-oniguruma"],
    sourcemap: "inline",
    logLevel: "warning",
  });
}

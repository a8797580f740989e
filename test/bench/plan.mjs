// How the time of a plan grows with the fields in their windows, and how far from the bound the plans are.
import { fileURLToPath } from "node:url";
import { build } from "esbuild";
import { runNode } from "./measure.mjs";

const at = (path) => fileURLToPath(new URL(path, import.meta.url));

export async function benchPlan() {
  const outfile = at("../../build/bench/plan-growth.mjs");
  await build({
    entryPoints: [at("plan-growth.ts")],
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
  const { code, output } = await runNode([outfile]);
  if (code !== 0) throw new Error(`${outfile} ended with code ${code}`);
  return {
    cpuMsBound: 10_000,
    growth: output
      .trim()
      .split("\n")
      .map((line) => JSON.parse(line)),
  };
}

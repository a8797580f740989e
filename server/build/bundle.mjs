// Bundles the command line and the language server, each into one file that needs nothing beside it.
import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { cp, mkdir } from "node:fs/promises";
import { build } from "esbuild";
import { findRules } from "./generate-rules.mjs";

const at = (path) => fileURLToPath(new URL(path, import.meta.url));

const shared = {
  bundle: true,
  platform: "node",
  target: "node20",
  sourcemap: true,
  legalComments: "none",
  logLevel: "warning",
  loader: { ".md": "text" },
};

await build({
  ...shared,
  entryPoints: [at("../src/cli/spadework.ts")],
  outfile: at("../../dist/cli.js"),
  format: "esm",
  // Libraries written for CommonJS ask for `require`; an ES module has to be given one.
  banner: { js: '#!/usr/bin/env node\nimport { createRequire as __createRequire } from "node:module";\nconst require = __createRequire(import.meta.url);' },
});
if (existsSync(at("../src/lsp/main.ts"))) {
  await build({ ...shared, entryPoints: [at("../src/lsp/main.ts")], outfile: at("../../dist/server.cjs"), format: "cjs" });
}
// Editors open a rule's page, and a region pack, from beside the server.
await mkdir(at("../../dist/rules"), { recursive: true });
for (const { group, name } of await findRules()) {
  await mkdir(at(`../../dist/rules/${group}`), { recursive: true });
  await cp(at(`../src/rules/${group}/${name}.md`), at(`../../dist/rules/${group}/${name}.md`));
}
await cp(at("../../schemas/regions"), at("../../dist/regions"), { recursive: true });
if (existsSync(at("../../client/build.mjs"))) {
  const { bundleClient } = await import("../../client/build.mjs");
  await bundleClient();
}

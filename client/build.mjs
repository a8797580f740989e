// Bundles the extension into one file, which is all that VS Code loads at start-up, and the script of its panel into another.
import * as esbuild from "esbuild";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("..", import.meta.url));

/** Writes `dist/client.cjs` and `dist/season-panel.js`; throws with esbuild's messages when it cannot. */
export async function bundleClient() {
  await esbuild.build({
    absWorkingDir: root,
    entryPoints: ["client/src/extension.ts"],
    outfile: "dist/client.cjs",
    bundle: true,
    platform: "node",
    // The oldest VS Code that package.json allows runs Node 20.
    target: "node20",
    format: "cjs",
    external: ["vscode"],
    minify: true,
    sourcemap: "linked",
    sourcesContent: false,
    logLevel: "warning",
  });
  // The script of the season's panel, which runs in a page of its own.
  await esbuild.build({
    absWorkingDir: root,
    entryPoints: ["client/webview/season-panel.ts"],
    outfile: "dist/season-panel.js",
    bundle: true,
    platform: "browser",
    target: "es2022",
    format: "iife",
    minify: true,
    legalComments: "none",
    logLevel: "warning",
  });
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await bundleClient();

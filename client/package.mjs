// Packs the extension: `build/spadework.vsix` holds the bundles and what package.json's `contributes` names, nothing else.
import { createVSIX } from "@vscode/vsce";
import { mkdirSync, statSync } from "node:fs";
import * as path from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("..", import.meta.url));
const bytesAllowed = 3_000_000;

/**
 * Packs what `npm run build` has made.
 * @returns {Promise<{ file: string, bytes: number }>} the package and its size
 * @throws {Error} when it grows past three megabytes
 */
export async function packageExtension() {
  const file = path.join(root, "build/spadework.vsix");
  mkdirSync(path.dirname(file), { recursive: true });
  await createVSIX({
    cwd: root,
    packagePath: file,
    // All that runs is bundled: nothing of node_modules goes in.
    dependencies: false,
    allowMissingRepository: true,
    rewriteRelativeLinks: false,
  });
  const bytes = statSync(file).size;
  if (bytes > bytesAllowed) throw new Error(`${file} has ${bytes} bytes; at most ${bytesAllowed} are allowed.`);
  return { file, bytes };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await packageExtension();

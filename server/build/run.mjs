// Runs one step of a build or a test, and says which one failed.
import { spawnSync } from "node:child_process";
import { existsSync, statSync } from "node:fs";
import { fileURLToPath } from "node:url";

export const root = fileURLToPath(new URL("../..", import.meta.url));
const isWindows = process.platform === "win32";

/** Runs a program in the project's folder with its output shown; returns whether its exit code is one of `ok`. */
export function run(program, args, { ok = [0], ...options } = {}) {
  const result = spawnSync(program, args, { cwd: root, stdio: "inherit", shell: isWindows && program === "npm", ...options });
  if (result.error) console.error(`${program}: ${result.error.message}`);
  return ok.includes(result.status);
}

/** Runs a step that everything after it needs; ends the process with its failure. */
export function mustRun(name, program, args, options) {
  if (run(program, args, options)) return;
  console.error(`\n${name} failed`);
  process.exit(2);
}

/** Installs the packages of the lock file when they are not there yet, or it has changed since they were put there. */
export function install() {
  const wanted = new URL("../../package-lock.json", import.meta.url);
  const installed = new URL("../../node_modules/.package-lock.json", import.meta.url);
  if (existsSync(installed) && statSync(installed).mtimeMs >= statSync(wanted).mtimeMs) return;
  mustRun("npm ci", "npm", ["ci", "--no-audit", "--no-fund", "--loglevel=error"]);
}

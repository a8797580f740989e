// Starts a VS Code server on a free port of the loopback, with a fresh profile that is thrown away at the end.
import { spawn, spawnSync } from "node:child_process";
import * as fs from "node:fs";
import * as os from "node:os";
import * as path from "node:path";
import { installServer } from "./install.mjs";

/** What keeps the workbench quiet and still: nothing saves, asks, updates or calls home by itself. */
export const quietSettings = {
  "workbench.startupEditor": "none",
  "workbench.enableExperiments": false,
  "files.autoSave": "off",
  "telemetry.telemetryLevel": "off",
  "extensions.autoCheckUpdates": false,
  "extensions.autoUpdate": false,
  "extensions.ignoreRecommendations": true,
  "chat.disableAIFeatures": true,
  "git.openRepositoryInParentFolders": "never",
  "workbench.secondarySideBar.defaultVisibility": "hidden",
};
// No extension gallery: looking things up in one would wait for a network that may not be there.
const offline = { EXTENSIONS_GALLERY: '{"serviceUrl":""}' };

/**
 * @typedef {object} ServerOptions
 * @property {string} [vsix] an extension to install first
 * @property {Record<string, unknown>} [settings] user settings, over the quiet ones
 * @property {boolean} [workspaceTrust] whether folders must be trusted (default: no)
 * @property {boolean} [testDriver] let the page run extension tests; this hides toasts and dialogs (default: no)
 * @property {Record<string, string | undefined>} [env] for the server and the extension host
 *
 * @typedef {object} RunningServer
 * @property {string} host address and port, as in a URL
 * @property {() => string} log all it has written
 * @property {Promise<string>} exited settles with the reason when the server ends, wanted or not
 * @property {() => Promise<void>} stop ends it and removes its profile
 */

/**
 * @param {ServerOptions} options
 * @returns {Promise<RunningServer>}
 * @throws {Error} with the server's output when it does not start within a minute, or does not take the extension
 */
export async function startServer({ vsix, settings, workspaceTrust = false, testDriver = false, env } = {}) {
  const { vscode, node } = installServer();
  const main = path.join(vscode, "out/server-main.js");
  const profile = fs.mkdtempSync(path.join(os.tmpdir(), "spadework-vscode-"));
  const userSettings = path.join(profile, "user/User/settings.json");
  fs.mkdirSync(path.dirname(userSettings), { recursive: true });
  const trust = { "security.workspace.trust.enabled": workspaceTrust };
  fs.writeFileSync(userSettings, JSON.stringify({ ...quietSettings, ...trust, ...settings }, null, 2));
  const folders = ["server-data", "user-data", "extensions"].flatMap((kind) => [
    `--${kind}-dir`,
    path.join(profile, kind.replace("-data", "")),
  ]);
  const common = [main, "--accept-server-license-terms", "--telemetry-level", "off", ...folders];
  if (vsix) install(node, [...common, "--install-extension", vsix], profile);

  const child = spawn(
    node,
    [
      ...common,
      ...["--host", "127.0.0.1", "--port", "0", "--without-connection-token"],
      ...(workspaceTrust ? [] : ["--disable-workspace-trust"]),
      ...(testDriver ? ["--enable-smoke-test-driver"] : []),
    ],
    {
      // A process group of its own, so that the extension hosts below it end with it.
      detached: true,
      stdio: ["ignore", "pipe", "pipe"],
      // The temporary folder takes the sockets that the server and the git extension leave behind.
      env: { ...process.env, ...offline, TMPDIR: profile, XDG_RUNTIME_DIR: profile, ...env },
    },
  );
  let log = "";
  /** @type {Promise<string>} */
  const exited = new Promise((resolve) => {
    child.once("error", (error) => resolve(`it could not be started: ${error.message}`));
    child.once("exit", (code, signal) => resolve(`it ended with ${code ?? signal}`));
  });
  /** @type {Promise<number>} */
  const listening = new Promise((resolve, reject) => {
    const giveUp = setTimeout(() => reject(new Error("The VS Code server did not start within a minute.")), 60_000);
    const read = (/** @type {Buffer} */ chunk) => {
      log += chunk;
      const port = /Extension host agent listening on (\d+)/.exec(log)?.[1];
      if (port) settle(() => resolve(Number(port)));
    };
    const settle = (/** @type {() => void} */ how) => (clearTimeout(giveUp), how());
    child.stdout.on("data", read);
    child.stderr.on("data", read);
    void exited.then((why) => settle(() => reject(new Error(`The VS Code server did not start: ${why}.`))));
  });
  const abandon = () => {
    signalGroup(child.pid, "SIGKILL");
    fs.rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
  };
  process.once("exit", abandon);
  const stop = async () => {
    signalGroup(child.pid, "SIGTERM");
    const insist = setTimeout(() => signalGroup(child.pid, "SIGKILL"), 3000);
    await exited;
    clearTimeout(insist);
    process.off("exit", abandon);
    fs.rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
  };
  try {
    return { host: `127.0.0.1:${await listening}`, log: () => withoutMissingParts(log), exited, stop };
  } catch (error) {
    await stop();
    throw new Error(`${error instanceof Error ? error.message : error}\n${log}`);
  }
}

/**
 * The address by which the workbench of a server knows a file on this machine.
 * @param {RunningServer} server
 * @param {string} file
 */
export function remoteFile(server, file) {
  return `vscode-remote://${server.host}${encodeURI(path.resolve(file))}`;
}

/**
 * Leaves out what the server says of the compiled parts that are not installed, page after page of it.
 * @param {string} log
 */
function withoutMissingParts(log) {
  const lines = log.split("\n").filter((line) => !/^(\s|\}|$|Error: Could not locate the bindings file)/.test(line));
  return lines.join("\n");
}

/**
 * @param {string} node
 * @param {string[]} args
 * @param {string} profile removed when the extension is refused
 */
function install(node, args, profile) {
  const result = spawnSync(node, args, { encoding: "utf8", env: { ...process.env, ...offline, TMPDIR: profile } });
  if (result.status === 0) return;
  fs.rmSync(profile, { recursive: true, force: true });
  throw new Error(`VS Code did not install the extension:\n${result.stdout}${result.stderr}`);
}

/**
 * @param {number | undefined} pid the leader of a process group
 * @param {NodeJS.Signals} signal
 */
function signalGroup(pid, signal) {
  if (pid === undefined) return;
  try {
    process.kill(-pid, signal);
  } catch {
    // It has ended already.
  }
}

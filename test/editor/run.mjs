#!/usr/bin/env node
/* global fetch, AbortSignal */
// Runs the editor tests: the suite in the extension host of a real VS Code, then the tests of what is seen on the screen.
//
//   node test/editor/run.mjs [--desktop | --server] [--grep PATTERN] [--no-build] [--prove-failures]
//
// VSCODE_EXECUTABLE names a desktop VS Code, VSCODE_SERVER a VS Code server, CHROMIUM a browser. On Linux a desktop VS Code
// is looked for only where there is a screen (`xvfb-run` makes one). Screenshots go to build/screenshots.
import { downloadAndUnzipVSCode, runTests } from "@vscode/test-electron";
import { spawnSync } from "node:child_process";
import * as fs from "node:fs";
import * as os from "node:os";
import * as path from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { bundleClient } from "../../client/build.mjs";
import { bundleTests } from "./bundle-tests.mjs";
import { installChromium, installServer } from "./install.mjs";
import { quietSettings } from "./vscode-server.mjs";

const root = fileURLToPath(new URL("../..", import.meta.url));
const bundled = path.join(root, "build/editor");
const { values: options } = parseArgs({
  options: {
    desktop: { type: "boolean", default: false },
    server: { type: "boolean", default: false },
    grep: { type: "string" },
    "no-build": { type: "boolean", default: false },
    "prove-failures": { type: "boolean", default: false },
  },
});
/** @typedef {{ executable: string, name: string }} Editor a program that takes VS Code's arguments, and what to call it */
/** @typedef {{ passed: number, failed: number }} Results */

const scratch = fs.mkdtempSync(path.join(os.tmpdir(), "spadework-editor-"));
for (const signal of ["SIGINT", "SIGTERM"]) process.once(signal, () => process.exit(130));
process.on("exit", () => fs.rmSync(scratch, { recursive: true, force: true, maxRetries: 5 }));
try {
  const editor = await chooseEditor();
  await build();
  const all = options["prove-failures"] ? await proveFailures(editor) : await runAll(editor);
  console.log(`${all.passed} passed, ${all.failed} failed`);
  // `npm test` adds these to its own totals.
  if (process.env.TEST_TOTALS) fs.writeFileSync(process.env.TEST_TOTALS, JSON.stringify({ ...all, skipped: 0 }));
  process.exit(all.failed || !all.passed ? 1 : 0);
} catch (error) {
  console.error(error instanceof Error ? error.message : error);
  console.log("0 passed, 1 failed");
  process.exit(2);
}

/**
 * A desktop VS Code that is named, here or can be downloaded; else the VS Code server in Chromium. Says which.
 * @returns {Promise<Editor>}
 */
async function chooseEditor() {
  const executable = options.server ? undefined : await findDesktop();
  if (executable) {
    console.log(`Editor tests in the desktop VS Code at ${executable}.`);
    return { executable, name: "desktop" };
  }
  if (options.desktop) throw new Error("No desktop VS Code: set VSCODE_EXECUTABLE to its program.");
  const { vscode } = installServer();
  installChromium();
  const { version } = JSON.parse(fs.readFileSync(path.join(vscode, "package.json"), "utf8"));
  console.log(`Editor tests in the VS Code server ${version}, shown in headless Chromium.`);
  return { executable: fileURLToPath(new URL("vscode-in-chromium.mjs", import.meta.url)), name: "server" };
}

/** @returns {Promise<string | undefined>} the program of a desktop VS Code */
async function findDesktop() {
  const named = process.env.VSCODE_EXECUTABLE;
  if (named) {
    if (!fs.existsSync(named)) throw new Error(`VSCODE_EXECUTABLE names ${named}, which is not there.`);
    return path.resolve(named);
  }
  if (process.env.VSCODE_SERVER && !options.desktop) return undefined;
  const screen = process.platform !== "linux" || process.env.DISPLAY || process.env.WAYLAND_DISPLAY;
  if (!screen) return undefined;
  try {
    // A short question first: without a network the download itself would be tried for minutes.
    const answer = await fetch("https://update.code.visualstudio.com/api/releases/stable", {
      signal: AbortSignal.timeout(3000),
    });
    if (!answer.ok) return undefined;
    return await downloadAndUnzipVSCode({ version: "stable", cachePath: path.join(root, ".vscode-test") });
  } catch {
    return undefined;
  }
}

/** Bundles what is tested and the tests. */
async function build() {
  fs.rmSync(bundled, { recursive: true, force: true });
  if (!options["no-build"]) {
    const whole = path.join(root, "server/build/bundle.mjs");
    if (fs.existsSync(whole)) mustRun("npm", ["run", "--silent", "build"]);
    else await bundleClient();
  }
  await bundleTests(bundled);
}

/**
 * @param {Editor} editor
 * @returns {Promise<Results>}
 */
async function runAll(editor) {
  const inside = await runInEditor(editor, path.join(bundled, "suite"));
  if (editor.name === "desktop" && (process.platform !== "linux" || process.arch !== "x64")) {
    console.log("The tests of what is seen on the screen need Linux on x64; run them there. They were not run here.");
    return inside;
  }
  const seen = await runOnScreen();
  return { passed: inside.passed + seen.passed, failed: inside.failed + seen.failed };
}

/**
 * Runs a folder of bundled tests in the editor's extension host, on a copy of the sample workspace.
 * @param {Editor} editor
 * @param {string} suite
 * @returns {Promise<Results>} a run that died counts as one failed test
 */
async function runInEditor(editor, suite) {
  const profile = fs.mkdtempSync(path.join(scratch, "profile-"));
  fs.mkdirSync(path.join(profile, "user/User"), { recursive: true });
  fs.writeFileSync(path.join(profile, "user/User/settings.json"), JSON.stringify(quietSettings));
  const results = path.join(profile, "results.json");
  let why;
  try {
    await runTests({
      vscodeExecutablePath: editor.executable,
      extensionDevelopmentPath: root,
      extensionTestsPath: path.join(suite, "index.cjs"),
      launchArgs: [
        copyOfSample(),
        "--disable-extensions",
        "--disable-workspace-trust",
        `--user-data-dir=${path.join(profile, "user")}`,
        `--extensions-dir=${path.join(profile, "extensions")}`,
      ],
      extensionTestsEnv: testEnvironment(results),
    });
  } catch (error) {
    why = error instanceof Error ? error.message : String(error);
  }
  return readResults(results, why);
}

/** Runs the tests that look at the screen, with the extension installed from its package. */
async function runOnScreen() {
  mustRun(process.execPath, ["client/package.mjs"], "quietly");
  const results = path.join(scratch, "screen-results.json");
  const env = {
    ...process.env,
    ...testEnvironment(results),
    SPADEWORK_EDITOR_VSIX: path.join(root, "build/spadework.vsix"),
    SPADEWORK_EDITOR_WORKSPACE: copyOfSample(),
    SPADEWORK_EDITOR_SCREENSHOTS: path.join(root, "build/screenshots"),
  };
  const tests = fileURLToPath(new URL("ui/index.ts", import.meta.url));
  const run = spawnSync(process.execPath, ["--import", "tsx", tests], { cwd: root, stdio: "inherit", env });
  return readResults(results, run.status === 0 ? undefined : `The process ended with ${run.status ?? run.signal}.`);
}

/**
 * Shows that the harness reports what goes wrong: a failing test, an extension host that dies, one that never starts.
 * @param {Editor} editor
 * @returns {Promise<Results>}
 */
async function proveFailures(editor) {
  const failing = await runInEditor(editor, path.join(bundled, "broken/fails"));
  const dying = await runInEditor(editor, path.join(bundled, "broken/dies"));
  const absent = await runInEditor(editor, path.join(bundled, "broken/absent"));
  const proofs = {
    "a failing test is counted, and the passing one beside it": failing.passed === 1 && failing.failed === 1,
    "an extension host that dies is a failure": dying.passed === 0 && dying.failed === 1,
    "tests that are not there are a failure": absent.passed === 0 && absent.failed === 1,
  };
  for (const [claim, holds] of Object.entries(proofs)) console.log(`${holds ? "holds" : "DOES NOT HOLD"}: ${claim}`);
  const held = Object.values(proofs).filter(Boolean).length;
  return { passed: held, failed: Object.keys(proofs).length - held };
}

/**
 * @param {string} file written by the run itself when it reaches its end
 * @param {string | undefined} why what the program around the tests complained of
 * @returns {Results}
 */
function readResults(file, why) {
  if (!fs.existsSync(file)) {
    console.error(`The tests did not come to an end. ${why ?? "The extension host died."}`);
    return { passed: 0, failed: 1 };
  }
  const results = JSON.parse(fs.readFileSync(file, "utf8"));
  if (!results.failed && why) {
    console.error(why);
    return { ...results, failed: 1 };
  }
  if (!results.failed && !results.passed && !options.grep) return { passed: 0, failed: 1 };
  return results;
}

/** @returns {string} a copy of the sample workspace, or of a tiny one where there is no sample, for the tests to write in */
function copyOfSample() {
  const sample = path.join(root, "sample-workspace");
  const holdsBook =
    fs.existsSync(sample) && fs.readdirSync(sample, { recursive: true }).some((f) => /season\.yaml$/.test(String(f)));
  const copy = path.join(fs.mkdtempSync(path.join(scratch, "copy-")), "records");
  fs.cpSync(holdsBook ? sample : fileURLToPath(new URL("fixture", import.meta.url)), copy, { recursive: true });
  return copy;
}

/** @param {string} results */
function testEnvironment(results) {
  return { SPADEWORK_EDITOR_RESULTS: results, SPADEWORK_EDITOR_GREP: options.grep };
}

/**
 * @param {string} program
 * @param {string[]} args
 * @param {"quietly"} [how] show its output only when it fails
 */
function mustRun(program, args, how) {
  const stdio = how === "quietly" ? "pipe" : "inherit";
  const run = spawnSync(program, args, { cwd: root, stdio, encoding: "utf8", shell: process.platform === "win32" });
  if (run.status === 0) return;
  throw new Error(`\`${program} ${args.join(" ")}\` failed.\n${run.stdout ?? ""}${run.stderr ?? ""}`);
}

#!/usr/bin/env node
// Stands in for the desktop's `code` program: takes the arguments by which extension tests are started, shows the workbench
// of a VS Code server in a headless Chromium, and ends with the tests' exit code.
import * as path from "node:path";
import { fileURLToPath } from "node:url";
import { launchChromium, openPage, workbenchAddress } from "./chromium.mjs";
import { remoteFile, startServer } from "./vscode-server.mjs";

/** What the workbench writes about its own start, and about compiled parts that are left out on purpose. */
const chatter =
  /^(Resolv(ing|ed) connection token|Creating a socket|Ignoring fetching additional|Updating additional builtin|\[(reconnection-grace-time|Service Worker|AgentHost:remote|AccountPolicyGate)\])|@vscode\/(spdlog|native-watchdog)\//;
const verbose = process.env.SPADEWORK_EDITOR_VERBOSE === "1";
const minutesAllowed = 10;

const request = readArguments(process.argv.slice(2));
/** @type {(() => Promise<unknown>)[]} */
const cleanUps = [];
const cleanUp = async () => {
  for (const step of cleanUps.splice(0).reverse()) await step().catch(() => {});
};
for (const signal of ["SIGINT", "SIGTERM"]) {
  process.once(signal, () => void cleanUp().finally(() => process.exit(130)));
}
try {
  process.exitCode = await runTests();
} catch (error) {
  console.error(error);
  process.exitCode = 1;
}
await cleanUp();
process.exit();

/** @returns {Promise<number>} the exit code of the tests, or 1 when there is none */
async function runTests() {
  const server = await startServer({ testDriver: true, env: { VSCODE_TEST: "1" } });
  cleanUps.push(server.stop);
  const browser = await launchChromium();
  cleanUps.push(() => browser.close());
  const { page } = await openPage(browser);
  /** @type {(end: { code: number, why?: string }) => void} */
  let end = () => {};
  /** @type {Promise<{ code: number, why?: string }>} */
  const ended = new Promise((resolve) => (end = resolve));
  // The workbench looks for these two functions when it runs extension tests.
  await page.exposeFunction("codeAutomationLog", print);
  await page.exposeFunction("codeAutomationExit", (/** @type {number} */ code) => end({ code }));
  page.on("crash", () => end({ code: 1, why: "The page crashed." }));
  void server.exited.then((why) => end({ code: 1, why: `The VS Code server is gone: ${why}.` }));
  const timer = setTimeout(
    () => end({ code: 1, why: `No result in ${minutesAllowed} minutes.` }),
    minutesAllowed * 6e4,
  );
  /** @type {[string, string][]} */
  const payload = [
    ...request.extensions.map(
      (folder) => /** @type {[string, string]} */ (["extensionDevelopmentPath", remoteFile(server, folder)]),
    ),
    ["extensionTestsPath", remoteFile(server, request.tests)],
  ];
  await page.goto(workbenchAddress(server.host, request.target, payload));
  const { code, why } = await ended;
  clearTimeout(timer);
  if (why) console.error(`${why}\n${server.log()}`);
  return code;
}

/** @param {string[]} args */
function readArguments(args) {
  const values = (/** @type {string} */ name) =>
    args.filter((arg) => arg.startsWith(`--${name}=`)).map((arg) => arg.slice(name.length + 3));
  const [tests] = values("extensionTestsPath");
  const extensions = values("extensionDevelopmentPath");
  if (!tests || !extensions.length) {
    console.error("usage: vscode-in-chromium.mjs --extensionDevelopmentPath=DIR --extensionTestsPath=FILE [FOLDER]");
    process.exit(2);
  }
  const [folder] = values("folder-uri").map((uri) => fileURLToPath(uri));
  const target = args.find((arg) => !arg.startsWith("--")) ?? folder;
  return { tests, extensions, target: target && path.resolve(target) };
}

/**
 * @param {string} level
 * @param {unknown[]} args
 */
function print(level, args) {
  if (!verbose && chatter.test(args.map(String).join(" "))) return;
  const write = level === "error" || level === "warn" ? console.error : console.log;
  write(...args.map((arg) => (typeof arg === "string" ? arg : JSON.stringify(arg))));
}

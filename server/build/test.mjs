// npm test: installs, builds, and runs everything there is to prove; ends with one line that counts all of it.
import { readFileSync, rmSync, existsSync, mkdirSync } from "node:fs";
import { join } from "node:path";
import { install, mustRun, root, run } from "./run.mjs";

// Whatever ends the run, its last line counts what ran: what could not be installed or built has failed, and nothing passed.
let passed = 0;
let failed = 0;
process.on("exit", (code) => {
  if (code !== 0 && failed === 0) failed = 1;
  console.log(`${passed} passed, ${failed} failed`);
});

install();
mustRun("the build", process.execPath, ["server/build/build.mjs"]);
mkdirSync(join(root, "build"), { recursive: true });

const bin = (name) => join(root, "node_modules", name);

function step(name, script, args) {
  const began = Date.now();
  const succeeded = run(process.execPath, [script, ...args]);
  console.log(`${succeeded ? "passed" : "FAILED"}: ${name} (${((Date.now() - began) / 1000).toFixed(0)} s)`);
  if (succeeded) passed++;
  else failed++;
}

/** A run of tests that leaves its totals in a file; one that leaves none has failed as a whole. */
function tests(name, script, args, totalsFile) {
  const file = join(root, "build", totalsFile);
  rmSync(file, { force: true });
  const succeeded = run(process.execPath, [script, ...args], { env: { ...process.env, TEST_TOTALS: file } });
  if (!existsSync(file)) {
    console.log(`FAILED: ${name} ended without totals`);
    failed++;
    return;
  }
  const totals = JSON.parse(readFileSync(file, "utf8"));
  console.log(`${name}: ${totals.passed} passed, ${totals.failed} failed`);
  passed += totals.passed;
  failed += totals.failed;
  // Neither a run that broke off nor one that ran nothing may pass for a success.
  if ((!succeeded && totals.failed === 0) || totals.passed + totals.failed === 0 || totals.skipped > 0) {
    console.log(`FAILED: ${name} did not run to its end, ran nothing, or skipped a test`);
    failed++;
  }
}

step("types", bin("typescript/bin/tsc"), ["--build"]);
step("lint", bin("eslint/bin/eslint.js"), ["--config", ".eslint.config.mjs", "."]);
step("formatting", bin("prettier/bin/prettier.cjs"), ["--check", "--log-level", "warn", "."]);
step("layering", bin("dependency-cruiser/bin/dependency-cruise.mjs"), ["--config", ".dependency-cruiser.cjs", "--output-type", "err-long", "server/src", "client/src", "client/webview"]);
tests("unit tests", bin("mocha/bin/mocha.js"), ["test/**/*.test.ts", "--reporter", "test/support/totals-reporter.cjs"], "unit-totals.json");
if (existsSync(join(root, "test/editor/run.mjs"))) tests("editor tests", "test/editor/run.mjs", [], "editor-totals.json");

process.exitCode = failed === 0 ? 0 : 1;

// npm start: installs, builds, and checks the sample season as its keeper would.
import { install, mustRun, run } from "./run.mjs";

install();
mustRun("the build", process.execPath, ["server/build/build.mjs"]);
// Findings are what the sample is there to show; only a check that could not run is a failure.
const command = (...args) => run(process.execPath, ["dist/cli.js", ...args, "--as-of", "2026-11-25"], { ok: [0, 1] });
const ran = [command("check", "sample-workspace"), command("risk", "sample-workspace")];
process.exitCode = ran.every(Boolean) ? 0 : 1;

// Runs Node programs as whole processes and takes their own account of time and memory.
import { spawn } from "node:child_process";

// Loaded into the measured process: on its way out it reports what it has used, on a pipe of its own.
const PRELOAD = `data:text/javascript,${encodeURIComponent(
  'import { writeSync } from "node:fs"; process.on("exit", () => writeSync(3, JSON.stringify(process.resourceUsage())));',
)}`;

/** Runs `node ...args`; resolves with wall and CPU milliseconds, peak memory in MB, exit code and standard output. */
export function runNode(args, options = {}) {
  return new Promise((resolve, reject) => {
    const began = performance.now();
    const child = spawn(process.execPath, ["--import", PRELOAD, ...args], {
      ...options,
      stdio: ["ignore", "pipe", "inherit", "pipe"],
    });
    let output = "";
    let usage = "";
    child.stdout.on("data", (chunk) => (output += chunk));
    child.stdio[3].on("data", (chunk) => (usage += chunk));
    child.once("error", reject);
    child.once("close", (code) => {
      const used = usage === "" ? undefined : JSON.parse(usage);
      resolve({
        wallMs: performance.now() - began,
        cpuMs: used ? (used.userCPUTime + used.systemCPUTime) / 1000 : NaN,
        peakMb: used ? used.maxRSS / 1024 : NaN,
        code,
        output,
      });
    });
  });
}

export function median(values) {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
}

/** Runs several programs in turn, over and over, so that whatever else the machine does falls on all of them alike. */
export async function compare(programs, rounds) {
  const runs = new Map(programs.map(({ name }) => [name, []]));
  for (let round = 0; round < rounds; round++) {
    for (const { name, args } of programs) {
      const result = await runNode(args);
      if (result.code !== 0 && result.code !== 1) throw new Error(`${name} ended with code ${result.code}`);
      runs.get(name).push(result);
    }
  }
  return Object.fromEntries(
    [...runs].map(([name, results]) => [
      name,
      {
        wallMs: Math.round(median(results.map((r) => r.wallMs))),
        cpuMs: Math.round(median(results.map((r) => r.cpuMs))),
        peakMb: Math.round(median(results.map((r) => r.peakMb))),
      },
    ]),
  );
}

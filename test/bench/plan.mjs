// How the time of a plan grows with the fields in their windows, and how far from the bound the plans are.
import { bundled } from "./bundle.mjs";
import { runNode } from "./measure.mjs";

export async function benchPlan() {
  const outfile = await bundled("plan-growth");
  const { code, output } = await runNode([outfile]);
  if (code !== 0) throw new Error(`${outfile} ended with code ${code}`);
  return {
    cpuMsBound: 10_000,
    growth: output
      .trim()
      .split("\n")
      .map((line) => JSON.parse(line)),
  };
}

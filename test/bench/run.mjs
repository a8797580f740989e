// npm run bench [NAME ...]: measures speed as ratios within one run. Nothing here passes or fails; it tells.
import { benchCheck } from "./check.mjs";
import { benchLsp } from "./lsp.mjs";
import { benchPlan } from "./plan.mjs";
import { benchSoil } from "./soil.mjs";

const benches = { check: benchCheck, lsp: benchLsp, plan: benchPlan, soil: benchSoil };
const asked = process.argv.slice(2);
const unknown = asked.filter((name) => !Object.hasOwn(benches, name));
if (unknown.length > 0) {
  console.error(`no bench called ${unknown.join(", ")}; there are ${Object.keys(benches).join(", ")}`);
  process.exit(2);
}
for (const [name, bench] of Object.entries(benches)) {
  if (asked.length > 0 && !asked.includes(name)) continue;
  console.log(`${name}: ${JSON.stringify(await bench(), null, 2)}`);
}

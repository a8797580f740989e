// Plans fourteen days of five walkers over more and more fields, and tells what each plan took and how far from the bound it is.
import { seasonPlan } from "../../server/src/planning/season-plan.ts";
import { FROM, largeBook } from "../planning/large-book.ts";

const crew = ["a", "b", "c", "d", "e"];
for (const fields of [12, 25, 50, 100, 200]) {
  const book = largeBook(fields);
  const began = process.cpuUsage();
  const plan = seasonPlan(book, { from: FROM, days: 14, crew, home: [-104, 51.75] });
  const { user, system } = process.cpuUsage(began);
  if ("why" in plan) throw new Error("the region lacks figures");
  const { method, cost, bound } = plan.solved;
  const drivingGapPercent = Math.ceil((100 * (cost.metres - bound.metres)) / cost.metres);
  const cpuMs = Math.round((user + system) / 1000);
  const { missed, left } = cost;
  console.log(JSON.stringify({ fields, cpuMs, method, missed, left, drivingGapPercent, bound }));
}

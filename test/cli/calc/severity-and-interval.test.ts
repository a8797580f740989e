import { strict as assert } from "node:assert";
import { near, printed } from "../../agronomy/value-of.ts";
import { json, range, type Json } from "./run-calc.ts";

describe("spadework calc severity and interval", () => {
  it("gives DSI and incidence (Horsfall & Heuberger 1942, recomputed)", async () => {
    for (const [ratings, incidence, dsi] of [
      ["80 10 6 4", 20, "11.33"],
      ["50 20 20 10", 50, "30.0"],
      ["0 0 0 25", 100, "100"],
    ] as const) {
      const found = await json("severity", ...ratings.split(" "));
      near(found.incidence_percent as number, incidence, 1e-12);
      printed(found.dsi_percent as number, dsi);
      const [lower, upper] = range((found.dsi_percent_interval as Json).clopper_pearson);
      assert.ok(lower <= (found.dsi_percent as number) && (found.dsi_percent as number) <= upper);
    }
    assert.deepEqual(await json("severity", "80,10,6,4"), await json("severity", "80", "10", "6", "4"));
  });

  it("gives yield loss as a range over the region's sources, never one number", async () => {
    const found = await json("severity", "80", "10", "6", "4");
    const { low, high } = found.yield_loss_percent as { low: number; high: number };
    // Botero-Ramirez et al. 2022: 0.26 % of the yield per 1 % DSI in the field; half of the incidence (extension 2011).
    near(low, 0.26 * (34 / 3), 1e-9);
    near(high, 10, 1e-9);
  });

  it("gives both intervals to the published digits", async () => {
    const cases: [count: string, exact: [string, string], wilson: [string, string]][] = [
      ["81/263", [".2527", ".3676"], [".2553", ".3662"]], // Newcombe 1998
      ["7/50", [".058192", ".267396"], [".0695", ".2619"]], // SciPy's documentation; recomputed
      ["25/200", [".082552", ".178974"], [".086120", ".178014"]], // RSurveillance
      ["0/20", ["0", ".1684"], ["0", ".1611"]], // from memory, recomputed
      ["1/29", [".0009", ".1776"], [".0061", ".1718"]], // from memory, recomputed
      ["0/100", ["0", ".0362"], ["0", ".0370"]], // recomputed
    ];
    for (const [count, exact, wilson] of cases) {
      const found = await json("interval", count);
      range(found.clopper_pearson).forEach((value, i) => printed(value, exact[i]!));
      range(found.wilson).forEach((value, i) => printed(value, wilson[i]!));
    }
  });
});

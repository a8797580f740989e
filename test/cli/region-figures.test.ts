import { strict as assert } from "node:assert";
import { RegionFigures } from "../../server/src/cli/calc/region-figures.ts";

describe("a figure that a calculation needs", () => {
  const swath = (region: string): number =>
    new RegionFigures(region, process.cwd()).need(
      "growth.days_seed_to_swath",
      "days",
      (pack) => pack.growth?.days_seed_to_swath,
    );

  it("is the region's, with its source", () => {
    const region = new RegionFigures("gb", process.cwd());
    assert.equal(
      region.need("rotation.break_years", "years", (pack) => pack.rotation?.break_years),
      4,
    );
    assert.deepEqual(region.used, [
      {
        path: "rotation.break_years",
        value: 4,
        source: "advice in the United Kingdom: oilseed rape no more than one year in five",
      },
    ]);
    assert.equal(swath("ca-ab"), 105);
  });

  it("has the reason told why a region does not give it", () => {
    assert.throws(() => swath("gb"), {
      message:
        "the region gb has no growth.days_seed_to_swath (the parent's is of spring canola; no published count for winter " +
        "oilseed rape was read); give --days",
    });
  });
});

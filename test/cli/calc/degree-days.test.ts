import { strict as assert } from "node:assert";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { near } from "../../agronomy/value-of.ts";
import { inFolder, spadework } from "../../support/command-line.ts";
import { json, refused, text, type Json } from "./run-calc.ts";

describe("spadework calc degree-days", () => {
  // data/seattle-weather.csv of the npm package vega-datasets (BSD), daily 2012 to 2015.
  const seattle = readFileSync(
    new URL("../../../node_modules/vega-datasets/data/seattle-weather.csv", import.meta.url),
    "utf8",
  )
    .trim()
    .split("\n")
    .slice(1)
    .map((line) => {
      const [date, , tmax, tmin] = line.split(",");
      return `${date!},${tmin!},${tmax!}`;
    });
  const file = (rows = seattle): Record<string, string> => ({
    "yard.weather.csv": ["date,tmin_c,tmax_c", ...rows, ""].join("\n"),
  });

  it("gives the season sums (McMaster & Wilhelm 1997, recomputed)", async () => {
    await inFolder(file(), async (folder) => {
      for (const [year, base0, base5, base14, base14Method2] of [
        [2012, 1842.4, 1297.4, 350.85, 441.55],
        [2013, 2039.75, 1494.75, 529.85, 580.65],
        [2014, 2046.75, 1501.75, 523.35, 589.8],
        [2015, 2181.5, 1636.5, 657.0, 702.45],
      ] as const) {
        const stretch = [join(folder, "yard.weather.csv"), "--from", `${year}-05-15`, "--to", `${year}-08-31`];
        const sum = async (...more: string[]) => (await json("degree-days", ...stretch, ...more)).degree_days as number;
        near(await sum(), base0, 1e-9);
        near(await sum("--base", "5"), base5, 1e-9);
        near(await sum("--base", "14", "--method", "1"), base14, 1e-9);
        near(await sum("--base=14", "--method=2"), base14Method2, 1e-9);
      }
    });
  });

  it("takes a base below 0, and a path from the working folder", async () => {
    const rows = ["2026-05-01,-4,2", "2026-05-02,-4,2"];
    await inFolder(file(rows), async (folder) => {
      const args = ["calc", "degree-days", "yard.weather.csv", "--base", "-5", "--format", "json"];
      const { out } = await spadework(args, { workingFolder: folder });
      assert.equal((JSON.parse(out) as Json).degree_days, 8);
    });
  });

  it("says what is missing, and when the sum is not to be relied on", async () => {
    await inFolder(file(["2026-05-01,10,20", "2026-05-04,10,20", "2026-05-05,hot,20"]), async (folder) => {
      const path = join(folder, "yard.weather.csv");
      const args = ["degree-days", path, "--from", "2026-05-01", "--to", "2026-05-05"];
      const found = await json(...args);
      assert.deepEqual(
        [found.degree_days, found.days, found.days_recorded, found.days_missing, found.enough],
        [30, 5, 2, 3, false],
      );
      assert.deepEqual(found.missing, [
        { from: "2026-05-02", to: "2026-05-03" },
        { from: "2026-05-05", to: "2026-05-05" },
      ]);
      const out = await text(...args);
      assert.match(out, /3 of 5 days are missing \(2026-05-02 to 2026-05-03, 2026-05-05\), so the true sum is higher/);
      assert.match(out, /40 % of the days recorded, fewer than 60 %, do not rely on it/);
      assert.match(out, /"hot" is not a number/);
    });
  });

  it("says in one line what is wrong with the file or the days", async () => {
    await inFolder(
      { ...file(["2026-05-01,1,2"]), "bad.weather.csv": "day,low,high\n", "empty.weather.csv": "" },
      async (folder) => {
        assert.match(await refused("degree-days", join(folder, "none.weather.csv")), /there is no file/);
        assert.match(await refused("degree-days", join(folder, "bad.weather.csv")), /names its columns/);
        assert.match(await refused("degree-days", join(folder, "empty.weather.csv")), /no weather/);
        assert.match(await refused("degree-days"), /takes one weather file/);
        const path = join(folder, "yard.weather.csv");
        assert.match(await refused("degree-days", path, "--from", "May"), /--from takes a day of the calendar/);
        assert.match(await refused("degree-days", path, "--from", "2026-05-02", "--to", "2026-05-01"), /before --from/);
        assert.match(
          await refused("degree-days", path, "--from", "2026-05-02"),
          /the weather ends on 2026-05-01, before/,
        );
        assert.match(
          await refused("degree-days", path, "--to", "2026-04-02"),
          /the weather begins on 2026-05-01, after/,
        );
      },
    );
  });
});

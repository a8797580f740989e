// McMaster & Wilhelm 1997, Agric. For. Meteorol. 87:291 (read): the two methods of growing degree days.
// Season sums: recomputed on data/seattle-weather.csv of the npm package vega-datasets (BSD), daily 2012–15.
// About 1,500 degree days base 0 from seeding to maturity for Brassica napus: extension 2014 (read).
import { strict as assert } from "node:assert";
import { readFileSync } from "node:fs";
import { dayNumber, formatDay, parseDay } from "../../server/src/base/days.ts";
import {
  degreeDayRecord,
  degreeDaysOfDay,
  degreeDaySum,
  type DegreeDayMethod,
  type WeatherDay,
} from "../../server/src/agronomy/degree-days.ts";
import { forecastDay } from "../../server/src/agronomy/timing.ts";
import { near, valueOf } from "../agronomy/value-of.ts";

const ROWS: WeatherDay[] = readFileSync(
  new URL("../../node_modules/vega-datasets/data/seattle-weather.csv", import.meta.url),
  "utf8",
)
  .trim()
  .split("\n")
  .slice(1)
  .map((line) => {
    const [date, , tmax, tmin] = line.split(",");
    return { day: parseDay(date)!, tmaxC: Number(tmax), tminC: Number(tmin) };
  });

const record = (baseC: number, method: DegreeDayMethod, rows = ROWS) =>
  valueOf(degreeDayRecord(rows, dayNumber(2015, 12, 31), { baseC, method, leastShareRecorded: 0.6 }));

describe("McMaster & Wilhelm 1997", () => {
  it("single days, base 5, methods 1 and 2", () => {
    const days: [tmax: number, tmin: number, one: number, two: number][] = [
      [20, 10, 10, 10],
      [12, 2, 2, 3.5],
      [9, -1, 0, 2],
      [4, -3, 0, 0],
    ];
    for (const [tmax, tmin, one, two] of days) {
      assert.equal(valueOf(degreeDaysOfDay(tmax, tmin, 5, 1)), one);
      assert.equal(valueOf(degreeDaysOfDay(tmax, tmin, 5, 2)), two);
    }
  });

  const seasons: [year: number, base0: number, base5: number, base14: number, base14Method2: number][] = [
    [2012, 1842.4, 1297.4, 350.85, 441.55],
    [2013, 2039.75, 1494.75, 529.85, 580.65],
    [2014, 2046.75, 1501.75, 523.35, 589.8],
    [2015, 2181.5, 1636.5, 657.0, 702.45],
  ];
  for (const [year, base0, base5, base14, base14Method2] of seasons) {
    it(`Seattle, 15 May to 31 August ${year}`, () => {
      const [from, to] = [dayNumber(year, 5, 15), dayNumber(year, 8, 31)];
      const sum = (baseC: number, method: DegreeDayMethod): number =>
        valueOf(degreeDaySum(record(baseC, method), from, to)).degreeDays;
      near(sum(0, 1), base0, 1e-9);
      near(sum(5, 1), base5, 1e-9);
      near(sum(14, 1), base14, 1e-9);
      near(sum(14, 2), base14Method2, 1e-9);
    });
  }

  it("1,500 degree days base 0 from 15 May: 14 August, 6 August, 5 August, 30 July", () => {
    const reached = [2012, 2013, 2014, 2015].map((year) =>
      formatDay(valueOf(forecastDay({ seeded: dayNumber(year, 5, 15), weather: record(0, 1) }, 1500)).day),
    );
    assert.deepEqual(reached, ["2012-08-14", "2013-08-06", "2014-08-05", "2015-07-30"]);
  });
});

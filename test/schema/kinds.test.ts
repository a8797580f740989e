import { strict as assert } from "node:assert";
import fc from "fast-check";
import { parseDay, parseMinute } from "../../server/src/base/days.ts";
import { date, "date-time-minutes" as time } from "../../server/src/schema/formats.ts";
import { fileKind, recordIdKey } from "../../server/src/schema/kinds.ts";

describe("what a file holds by its name", () => {
  const names: [string, string | undefined][] = [
    ["season.yaml", "season"],
    ["2026/season.yaml", "season"],
    ["preseason.yaml", undefined],
    ["alder-bench.fields.yaml", "fields"],
    ["2026/june/mo.visits.yaml", "visits"],
    ["fields.yaml", undefined],
    ["2026/fields.yaml", undefined],
    ["a.fields.yml", undefined],
    ["a.fields.yaml.bak", undefined],
    ["a.equipment.yaml", "equipment"],
    ["a.rotations.yaml", "rotations"],
    ["a.cleanings.yaml", "cleanings"],
    ["a.samples.yaml", "samples"],
    ["home-yard.weather.csv", "weather"],
    ["our-county.region.yaml", "region"],
    ["", undefined],
  ];
  for (const [name, kind] of names)
    it(`${name || "(no name)"}: ${kind ?? "nothing"}`, () => assert.equal(fileKind(name), kind));

  it("names a rotation by its field, anything else by its id", () => {
    assert.equal(recordIdKey("rotations"), "field");
    assert.equal(recordIdKey("visits"), "id");
  });
});

describe("the formats of dates and times", () => {
  const nearlyDates = fc.oneof(
    fc
      .tuple(fc.integer({ min: 0, max: 2999 }), fc.integer({ min: 0, max: 14 }), fc.integer({ min: 0, max: 33 }))
      .map(
        ([year, month, day]) =>
          `${String(year).padStart(4, "0")}-${String(month).padStart(2, "0")}-${String(day).padStart(2, "0")}`,
      ),
    fc.string({ unit: fc.constantFrom(..."0123456789-T: Z"), minLength: 8, maxLength: 18 }),
  );
  const nearlyTimes = fc
    .tuple(nearlyDates, fc.integer({ min: 0, max: 26 }), fc.integer({ min: 0, max: 62 }))
    .map(([day, hour, minute]) => `${day}T${String(hour).padStart(2, "0")}:${String(minute).padStart(2, "0")}`);

  it("take the same texts as the calendar arithmetic", () => {
    fc.assert(
      fc.property(fc.oneof(nearlyDates, nearlyTimes), (text) => {
        assert.equal(date(text), parseDay(text) !== undefined, text);
        assert.equal(time(text), parseMinute(text) !== undefined, text);
      }),
      { numRuns: 2000 },
    );
  });

  it("know leap years", () => {
    // Gregorian rule: 1900 and 2100 are common years, 2000 and 2024 leap years.
    assert.deepEqual(
      ["1900", "2000", "2024", "2025", "2100"].map((year) => date(`${year}-02-29`)),
      [false, true, true, false, false],
    );
  });
});

import { strict as assert } from "node:assert";
import fc from "fast-check";
import { formatDay, formatMinute, parseDay, parseMinute, yearOfDay } from "../../server/src/base/days.ts";

// Against the platform's own proleptic Gregorian calendar (ECMA-262, Date.UTC).
describe("days", () => {
  it("agree with the platform's calendar over 9,000 years", () => {
    fc.assert(
      fc.property(fc.integer({ min: -700_000, max: 2_900_000 }), (day) => {
        const iso = new Date(day * 86_400_000).toISOString().slice(0, 10);
        if (iso.length !== 10) return;
        assert.equal(formatDay(day), iso);
        assert.equal(parseDay(iso), day);
        assert.equal(yearOfDay(day), Number(iso.slice(0, 4)));
      }),
      { numRuns: 3000 },
    );
  });

  it("refuse what is no day of the calendar", () => {
    for (const text of [
      "2026-02-29",
      "2026-13-01",
      "2026-00-10",
      "2026-04-31",
      "2026-1-01",
      "20260101",
      "2026-01-01T00:00",
      "",
    ]) {
      assert.equal(parseDay(text), undefined, text);
    }
    assert.notEqual(parseDay("2024-02-29"), undefined);
    for (const text of ["2026-08-14T24:00", "2026-08-14T09:60", "2026-08-14 09:40", "2026-08-14"])
      assert.equal(parseMinute(text), undefined, text);
  });

  it("turn minutes back into the same text", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 60_000_000 }), (minute) => {
        assert.equal(parseMinute(formatMinute(minute)), minute);
        assert.equal(formatMinute(minute), new Date(minute * 60_000).toISOString().slice(0, 16));
      }),
    );
  });
});

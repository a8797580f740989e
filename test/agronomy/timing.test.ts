import { strict as assert } from "node:assert";
import fc from "fast-check";
import { dayNumber, formatDay } from "../../server/src/base/days.ts";
import {
  degreeDayRecord,
  degreeDaysOfDay,
  degreeDaySum,
  type DegreeDayRecord,
  type DegreeDayRule,
  type WeatherDay,
} from "../../server/src/agronomy/degree-days.ts";
import { scoutingWindow, swathingDay, windowStanding } from "../../server/src/agronomy/scouting-window.ts";
import { forecastDay, stageForecast, stageReached } from "../../server/src/agronomy/timing.ts";
import { errorOf, near, valueOf } from "./value-of.ts";

const RULE: DegreeDayRule = { baseC: 5, method: 1, leastShareRecorded: 0.6 };
const celsius = fc.double({ min: -40, max: 45, noNaN: true });

/** Every day of a stretch at one mean temperature. */
function steady(from: number, to: number, meanC: number): WeatherDay[] {
  return Array.from({ length: to - from + 1 }, (_, i) => ({ day: from + i, tminC: meanC - 5, tmaxC: meanC + 5 }));
}

function recordOf(rows: WeatherDay[], upTo: number, rule = RULE): DegreeDayRecord {
  return valueOf(degreeDayRecord(rows, upTo, rule));
}

describe("degree days", () => {
  it("method 2 never gives less, and the same where the minimum is not below the base", () => {
    fc.assert(
      fc.property(celsius, celsius, celsius, (a, b, base) => {
        const [tmin, tmax] = [Math.min(a, b), Math.max(a, b)];
        const one = valueOf(degreeDaysOfDay(tmax, tmin, base, 1));
        const two = valueOf(degreeDaysOfDay(tmax, tmin, base, 2));
        assert.ok(two >= one - 1e-12 && one >= 0);
        if (tmin >= base) near(one, two, 1e-12);
      }),
    );
  });

  it("a sum counts what is missing, by runs, and says when it is too much", () => {
    const from = dayNumber(2026, 5, 1);
    const rows = [...steady(from, from + 3, 15), ...steady(from + 6, from + 6, 15)];
    const sum = valueOf(degreeDaySum(recordOf(rows, from + 9), from, from + 9));
    assert.deepEqual(sum, {
      degreeDays: 50,
      days: 10,
      daysRecorded: 5,
      daysMissing: 5,
      missing: [
        { from: from + 4, to: from + 5 },
        { from: from + 7, to: from + 9 },
      ],
      shareRecorded: 0.5,
      enough: false,
    });
    assert.equal(valueOf(degreeDaySum(recordOf(rows, from + 9), from, from + 7)).enough, true); // 5 of 8
  });

  it("sums of neighbouring stretches add up", () => {
    const start = dayNumber(2026, 5, 1);
    fc.assert(
      fc.property(fc.array(celsius, { minLength: 60, maxLength: 60 }), fc.nat(59), (means, cut) => {
        const record = recordOf(
          means.map((mean, i) => ({ day: start + i, tminC: mean - 3, tmaxC: mean + 3 })),
          start + 59,
        );
        const sum = (a: number, b: number): number => valueOf(degreeDaySum(record, start + a, start + b)).degreeDays;
        near(sum(0, cut - 1) + sum(cut, 59), sum(0, 59), 1e-9);
      }),
    );
  });

  it("the mean year is the mean of degree days, not of temperatures", () => {
    const rows = [
      { day: dayNumber(2024, 5, 1), tminC: 0, tmaxC: 0 }, // 0 degree days
      { day: dayNumber(2025, 5, 1), tminC: 15, tmaxC: 15 }, // 10
    ];
    assert.deepEqual(recordOf(rows, dayNumber(2026, 1, 1)).meanYear.get(501), { degreeDays: 5, years: 2 });
  });

  it("leaves out rows that cannot be and rows still to come, and keeps the last of a day written twice", () => {
    const day = dayNumber(2026, 5, 1);
    const rows = [
      { day, tminC: 0, tmaxC: 20 },
      { day, tminC: 10, tmaxC: 20 },
      { day: day + 1, tminC: 20, tmaxC: 10 },
      { day: day + 2, tminC: NaN, tmaxC: 10 },
      { day: 0.5, tminC: 1, tmaxC: 10 },
      { day: day + 9, tminC: 1, tmaxC: 10 },
    ];
    const record = recordOf(rows, day + 5);
    assert.deepEqual([...record.byDay], [[day, 10]]);
    assert.equal(record.unusable.length, 3);
    assert.match(errorOf(degreeDaysOfDay(10, 20, 5, 1)), /minimum of 20 °C is above its maximum of 10 °C/);
  });
});

describe("the day a crop reaches a stage", () => {
  const seeded = dayNumber(2026, 5, 11);

  it("is counted from the day of seeding, over what is recorded", () => {
    // 10 degree days a day: 100 on the tenth day.
    const record = recordOf(steady(seeded, seeded + 99, 15), seeded + 99);
    const found = valueOf(forecastDay({ seeded, weather: record }, 100));
    assert.equal(found.day, seeded + 9);
    assert.deepEqual([found.daysRecorded, found.daysFromMean, found.daysBridged], [10, 0, 0]);
    assert.equal(found.range, undefined); // The season's own year is no other year.
    assert.equal(valueOf(forecastDay({ seeded, weather: record }, 100.01)).day, seeded + 10);
    assert.equal(valueOf(forecastDay({ seeded, weather: record }, 0)).day, seeded);
  });

  it("goes on with the mean of the years recorded, and gives a range from each", () => {
    const rows = [
      ...steady(dayNumber(2024, 1, 1), dayNumber(2024, 12, 31), 13), // 8 a day
      ...steady(dayNumber(2025, 1, 1), dayNumber(2025, 12, 31), 17), // 12 a day
      ...steady(seeded, seeded + 49, 15), // 10 a day, 500 so far
    ];
    const found = valueOf(forecastDay({ seeded, weather: recordOf(rows, seeded + 49) }, 980));
    assert.equal(found.day, seeded + 97); // 48 more days at 10
    assert.deepEqual(found.range, { earliest: seeded + 89, latest: seeded + 109, years: [2024, 2025] });
    assert.deepEqual([found.daysRecorded, found.daysFromMean, found.enough], [50, 48, true]);
  });

  it("does not know weather later than the as-of day", () => {
    const rows = [...steady(dayNumber(2025, 1, 1), dayNumber(2025, 12, 31), 15), ...steady(seeded, seeded + 99, 30)];
    assert.equal(valueOf(forecastDay({ seeded, weather: recordOf(rows, seeded - 1) }, 100)).day, seeded + 9);
    assert.equal(valueOf(forecastDay({ seeded, weather: recordOf(rows, seeded + 99) }, 100)).day, seeded + 3);
  });

  it("bridges gaps that no year fills, and says when too little is known", () => {
    const gap = [...steady(seeded, seeded + 2, 15), ...steady(seeded + 7, seeded + 20, 15)];
    const found = valueOf(forecastDay({ seeded, weather: recordOf(gap, seeded + 20) }, 100));
    assert.deepEqual([found.day, found.daysBridged, found.enough], [seeded + 9, 4, true]);
    // 10, then 12, 14, 16 on the line, then 18: 70 in all on the fifth day, 52 on the fourth.
    const slope = [...steady(seeded, seeded, 15), ...steady(seeded + 4, seeded + 4, 23)];
    const sloped = recordOf(slope, seeded + 4, { ...RULE, leastShareRecorded: 0 });
    const on = (wanted: number): number => valueOf(forecastDay({ seeded, weather: sloped }, wanted)).day - seeded;
    assert.deepEqual([10, 22, 22.1, 36, 36.1, 52, 52.1, 70].map(on), [0, 1, 2, 2, 3, 3, 4, 4]);
    const wide = [...steady(seeded, seeded, 15), ...steady(seeded + 9, seeded + 20, 15)];
    assert.equal(valueOf(forecastDay({ seeded, weather: recordOf(wide, seeded + 20) }, 100)).enough, false);
  });

  it("is not known where the weather recorded does not reach so far", () => {
    const record = recordOf(steady(seeded, seeded + 9, 15), seeded + 9);
    assert.match(errorOf(forecastDay({ seeded, weather: record }, 101)), /does not reach far enough/);
    assert.match(errorOf(forecastDay({ seeded, weather: recordOf([], seeded) }, 100)), /No weather is recorded/);
  });

  it("crosses a new year and a leap day", () => {
    const sown = dayNumber(2023, 11, 1);
    const rows = steady(dayNumber(2022, 1, 1), dayNumber(2023, 10, 31), 15);
    const found = valueOf(forecastDay({ seeded: sown, weather: recordOf(rows, sown - 1) }, 1500));
    assert.equal(formatDay(found.day), "2024-03-29"); // 150 days: 29 February is bridged, or stands for 1 March.
    assert.deepEqual(found.range, { earliest: found.day, latest: found.day, years: [2022] });
  });

  it("warmer is never later, and more degree days are never sooner", () => {
    fc.assert(
      fc.property(
        fc.array(celsius, { minLength: 120, maxLength: 120 }),
        fc.double({ min: 0, max: 10, noNaN: true }),
        fc.double({ min: 0, max: 500, noNaN: true }),
        fc.double({ min: 0, max: 500, noNaN: true }),
        (means, warmer, a, b) => {
          const at = (plus: number, wanted: number): number => {
            const rows = means.map((mean, i) => ({ day: seeded + i, tminC: mean + plus - 2, tmaxC: mean + plus + 2 }));
            const found = forecastDay({ seeded, weather: recordOf(rows, seeded + 119) }, wanted);
            return found.ok ? found.value.day : Infinity;
          };
          assert.ok(at(warmer, a) <= at(0, a));
          assert.ok(at(0, Math.min(a, b)) <= at(0, Math.max(a, b)));
        },
      ),
    );
  });

  it("follows a table of stages", () => {
    const record = recordOf(steady(seeded, seeded + 49, 15), seeded + 49);
    const table = { "10": 0, "60": 300, "85": 900 };
    assert.deepEqual(
      valueOf(stageForecast({ seeded, weather: record }, table)).map((one) => [one.stage, one.forecast?.day]),
      [
        [10, seeded],
        [60, seeded + 29],
        [85, undefined],
      ],
    );
    assert.deepEqual(
      [0, 299.9, 300, 5000].map((sum) => valueOf(stageReached(sum, table))),
      [10, 10, 60, 85],
    );
    assert.equal(valueOf(stageReached(5, { "60": 300 })), undefined);
    assert.match(errorOf(stageReached(5, {})), /names no degree days/);
    assert.match(errorOf(stageReached(5, { "60": 300, "70": 200 })), /stage 70 fewer degree days/);
    assert.match(errorOf(stageReached(5, { ripe: 300 })), /BBCH/);
  });
});

describe("the scouting window", () => {
  const swathed = dayNumber(2026, 8, 27);
  const none = { recorded: undefined, forecast: undefined, seeded: undefined, daysSeedToSwath: undefined };

  it("takes the recorded day, else the forecast, else the days from seeding", () => {
    const seeded = dayNumber(2026, 5, 11);
    const all = { recorded: swathed, forecast: swathed + 3, seeded, daysSeedToSwath: 105 };
    assert.deepEqual(valueOf(swathingDay(all)), { day: swathed, basis: "recorded" });
    assert.deepEqual(valueOf(swathingDay({ ...all, recorded: undefined })), { day: swathed + 3, basis: "forecast" });
    const days = valueOf(swathingDay({ ...none, seeded, daysSeedToSwath: 105 }));
    assert.deepEqual([formatDay(days.day), days.basis], ["2026-08-24", "days"]);
    assert.match(errorOf(swathingDay(none)), /Neither the day of swathing nor that of seeding/);
    assert.match(errorOf(swathingDay({ ...none, seeded })), /does not say how many days/);
  });

  it("opens and closes so many days around it, both days counted", () => {
    const window = valueOf(scoutingWindow(swathed, 14, 7));
    assert.deepEqual([formatDay(window.opens), formatDay(window.closes)], ["2026-08-13", "2026-09-03"]);
    const standing = (day: number) => {
      const { state, opensInDays, daysLeft, closedDaysAgo } = valueOf(windowStanding(window, day));
      return [state, opensInDays, daysLeft, closedDaysAgo];
    };
    assert.deepEqual(standing(window.opens - 1), ["waiting", 1, 22, undefined]);
    assert.deepEqual(standing(window.opens), ["open", undefined, 21, undefined]);
    assert.deepEqual(standing(window.closes), ["open", undefined, 0, undefined]);
    assert.deepEqual(standing(window.closes + 1), ["closed", undefined, undefined, 1]);
    assert.match(errorOf(scoutingWindow(swathed, -1, 7)), /opens before swathing .*not -1/);
  });
});

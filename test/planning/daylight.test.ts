import { strict as assert } from "node:assert";
import { formatMinute, parseDay, parseMinute } from "../../server/src/base/days.ts";
import { daylight } from "../../server/src/planning/daylight.ts";
import { clockRules, localTime, minutesAhead } from "../../server/src/planning/local-clock.ts";

/** By a clock that is so many hours ahead of universal time. */
function sun(day: string, place: [number, number], hoursAhead: number): { rise: number; set: number } | undefined {
  const found = daylight(parseDay(day)!, place);
  return found && { rise: found.sunrise + hoursAhead * 60, set: found.sunset + hoursAhead * 60 };
}

function isNear(minute: number, expected: string, minutes: number): void {
  assert.ok(Math.abs(minute - parseMinute(expected)!) <= minutes, `${formatMinute(minute)}, expected ${expected}`);
}

describe("daylight", () => {
  it("is that of Sydney on 4 December 2019", () => {
    // By the ephemeris JPL DE440s: 05:37:08 and 19:53 at UTC+11 (examples of the Elixir library Astro; read).
    const { rise, set } = sun("2019-12-04", [151.20666584, -33.8559799094], 11)!;
    isNear(rise, "2019-12-04T05:37", 1);
    isNear(set, "2019-12-04T19:53", 1);
  });

  it("is that of Boston on 12 February 2014", () => {
    // U.S. Naval Observatory, Sun and Moon Data for One Day, W71.1 N42.3: sunrise 6:45 a.m. (read). For the sunset,
    // 17:11:46 by the full method of Meeus, Astronomical Algorithms, chapter 15 (read); the formulas here are good to two minutes.
    const { rise, set } = sun("2014-02-12", [-71.1, 42.3], -5)!;
    isNear(rise, "2014-02-12T06:45", 1);
    isNear(set, "2014-02-12T17:12", 2);
  });

  it("never ends at Alert, Nunavut, in July, and never begins there in December", () => {
    assert.equal(daylight(parseDay("2019-07-01")!, [-62.3481, 82.5018]), undefined);
    assert.equal(daylight(parseDay("2019-12-04")!, [-62.3481, 82.5018]), undefined);
  });

  it("is half a day everywhere at the equinox, and a little more for the air and the sun's own width", () => {
    for (const latitude of [-60, -30, 0, 30, 60]) {
      const { sunrise, sunset } = daylight(parseDay("2026-03-20")!, [0, latitude])!;
      assert.ok(sunset - sunrise > 720 && sunset - sunrise < 745, `${latitude}: ${sunset - sunrise}`);
    }
  });
});

describe("local clocks", () => {
  it("are set by the zone's rules", () => {
    const noon = parseMinute("2026-08-20T12:00")!;
    assert.equal(minutesAhead("America/Regina", noon), -360);
    assert.equal(minutesAhead("America/Edmonton", noon), -360);
    assert.equal(minutesAhead("Europe/Stockholm", noon), 120);
    assert.equal(formatMinute(localTime("Australia/Adelaide", noon)!), "2026-08-20T21:30");
    assert.equal(minutesAhead("Nowhere/At all", noon), undefined);
  });

  it("are changed in Sweden at 01:00 universal time of the last Sunday of October", () => {
    // Directive 2000/84/EC.
    const rules = clockRules("Europe/Stockholm", parseDay("2026-10-20")!, parseDay("2026-10-30")!);
    assert.deepEqual(
      rules.map(({ ahead }) => ahead),
      [120, 60],
    );
    assert.equal(formatMinute(rules[1]!.from), "2026-10-25T01:00");
    assert.equal(clockRules("America/Regina", parseDay("2026-10-20")!, parseDay("2026-11-30")!).length, 1);
  });
});

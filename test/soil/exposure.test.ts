import { strict as assert } from "node:assert";
import { parseDay, parseMinute } from "../../server/src/base/days.ts";
import { exposures } from "../../server/src/soil/exposure.ts";
import { SoilTimeline } from "../../server/src/soil/soil-timeline.ts";
import { soilFrom, soilTo } from "../../server/src/soil/soil-trace.ts";
import { WrittenCarriers, type WrittenCleanDown, type WrittenStay } from "./written-carriers.ts";

const at = (time: string): number => parseMinute(`2026-06-${time}`)!;
const CONFIRMED = [{ field: "a", confirmedOn: parseDay("2026-06-01")! }];

/** `kit a 01T08:00 01T09:00`: the kit on field a. Visits are numbered in the order they are written, from 0. */
function stays(...lines: string[]): WrittenStay[] {
  return lines.map((line, visit) => {
    const [carrier, field, arrived, left] = line.split(" ");
    return { carrier, field, arrived: at(arrived), left: at(left ?? arrived), visit };
  });
}

/** `kit 01T09:30 full` or `kit 01T09:30 0.1`. */
function cleanings(...lines: string[]): WrittenCleanDown[] {
  return lines.map((line, cleaning) => {
    const [carrier, time, left] = line.split(" ");
    return { carrier, at: at(time), full: left === "full", soilLeft: left === "full" ? 0 : Number(left), cleaning };
  });
}

function exposed(visits: string[], cleaned: string[] = [], lookBackDays = 1095): string[] {
  const { timeline } = new WrittenCarriers(stays(...visits), cleanings(...cleaned));
  return exposures(timeline, CONFIRMED, lookBackDays).exposed.map(
    ({ field, chain, soilLeft }) =>
      `${field}: ${chain.map((each) => `${each.from}-${each.carrier}`).join(" ")} ${soilLeft}`,
  );
}

describe("an exposure", () => {
  it("follows a carrier from the confirmed field to every later one, past the visits in between", () => {
    assert.deepEqual(exposed(["kit a 01T08:00 01T09:00", "kit b 01T10:00", "kit c 01T11:00"]), [
      "b: a-kit 1",
      "c: a-kit 1",
    ]);
  });

  it("does not go back in time", () => {
    assert.deepEqual(exposed(["kit b 01T07:00", "kit a 01T08:00 01T09:00"]), []);
    // b's seeder went on to c before the kit brought soil to b.
    const early = ["kit a 01T08:00", "kit b 01T12:00", "seeder b 01T10:00 01T11:00", "seeder c 01T13:00"];
    assert.deepEqual(exposed(early), ["b: a-kit 1"]);
    // A seeder that stays on b until the kit has come takes its soil on.
    const late = ["kit a 01T08:00", "kit b 01T12:00", "seeder b 01T10:00 01T12:00", "seeder c 01T13:00"];
    assert.deepEqual(exposed(late), ["b: a-kit 1", "c: a-kit b-seeder 1"]);
  });

  it("is stopped by a full clean-down at any minute from leaving to arriving, both included", () => {
    const visits = ["kit a 01T08:00 01T09:00", "kit b 01T10:00 01T11:00"];
    for (const minute of ["01T09:00", "01T09:30", "01T10:00"])
      assert.deepEqual(exposed(visits, [`kit ${minute} full`]), []);
    for (const minute of ["01T08:59", "01T10:01"])
      assert.deepEqual(exposed(visits, [`kit ${minute} full`]), ["b: a-kit 1"]);
    assert.deepEqual(exposed(visits, ["seeder 01T09:30 full"]), ["b: a-kit 1"]);
  });

  it("multiplies what partial cleanings leave, along the carriage and along the chain", () => {
    const visits = [
      "kit a 01T08:00 01T09:00",
      "kit b 01T10:00 01T11:00",
      "seeder b 01T11:00 01T12:00",
      "seeder c 02T08:00",
    ];
    // At 09:00 and at 10:00 a cleaning lies within the carriage, at 08:59 it does not.
    const cleaned = ["kit 01T08:59 0.5", "kit 01T09:00 0.5", "kit 01T10:00 0.5", "seeder 01T18:00 0.125"];
    assert.deepEqual(exposed(visits, cleaned), ["b: a-kit 0.25", "c: a-kit b-seeder 0.03125"]);
  });

  it("begins at 00:00 of the day that lies the look-back before the find", () => {
    const visits = ["kit a 01T00:00", "kit b 01T10:00"];
    assert.deepEqual(exposed(visits, [], 0), ["b: a-kit 1"]);
    assert.deepEqual(exposed(["kit a 01T08:00", "kit b 03T10:00"], [], -1), []);
    const { confirmed } = exposures(new SoilTimeline([]), [...CONFIRMED, { field: "a", confirmedOn: 99999 }], 1);
    assert.deepEqual(confirmed, [
      { field: "a", confirmedOn: parseDay("2026-06-01")!, infestedFrom: parseMinute("2026-05-31T00:00")! },
    ]);
  });

  it("runs through a confirmed field before that field was itself infested", () => {
    const visits = ["kit a 01T08:00", "kit b 01T10:00", "seeder b 01T11:00", "seeder c 01T12:00"];
    const confirmed = [...CONFIRMED, { field: "b", confirmedOn: parseDay("2026-07-01")! }];
    const { exposed: found } = exposures(new WrittenCarriers(stays(...visits)).timeline, confirmed, 3);
    assert.deepEqual(
      found.map((each) => [each.field, each.carriages]),
      [["c", 2]],
    );
  });

  it("tells the earliest arrival and the chain with the fewest carriages, which need not be the same", () => {
    const visits = [
      "kit a 01T08:00",
      "kit b 01T09:00",
      "seeder b 01T09:00",
      "seeder c 01T10:00",
      "truck a 01T08:00",
      "truck c 05T10:00",
    ];
    const written = new WrittenCarriers(stays(...visits));
    const [, c] = exposures(written.timeline, CONFIRMED, 1095).exposed;
    assert.equal(c.arrived, at("01T10:00"));
    assert.deepEqual(
      c.chain.map((carriage) => written.numbered(carriage)),
      [
        {
          from: "a",
          to: "c",
          carrier: "truck",
          left: at("01T08:00"),
          arrived: at("05T10:00"),
          soilLeft: 1,
          visitLeft: 4,
          visitArrived: 5,
          cleanings: [],
        },
      ],
    );
  });

  it("uses an arrival with more carriages where only that one is in time for the next departure", () => {
    // The truck comes to c straight from a, but after the sprayer has left c for d; by way of b the soil was there in time.
    const visits = [
      ...["kit a 01T08:00", "kit b 01T09:00", "seeder b 01T10:00", "seeder c 01T11:00"],
      ...["truck a 01T08:00", "truck c 05T10:00", "sprayer c 02T08:00", "sprayer d 02T09:00"],
    ];
    assert.deepEqual(exposed(visits), ["b: a-kit 1", "c: a-truck 1", "d: a-kit b-seeder c-sprayer 1"]);
  });

  it("reports the carrier with the most soil left where both arrive together", () => {
    const visits = ["boots/mo a 01T08:00", "kit a 01T08:00", "boots/mo b 01T10:00", "kit b 01T10:00"];
    assert.deepEqual(exposed(visits, ["boots/mo 01T09:00 0.1"]), ["b: a-kit 1"]);
    assert.deepEqual(exposed(visits, ["kit 01T09:00 0.1"]), ["b: a-boots/mo 1"]);
    assert.deepEqual(exposed(visits), ["b: a-boots/mo 1"]);
  });

  it("goes through several fields within one minute", () => {
    const visits = [
      "k1 a 01T08:00",
      "k1 b 01T08:00",
      "k2 b 01T08:00",
      "k2 c 01T08:00",
      "k3 c 01T08:00",
      "k3 d 01T08:00",
    ];
    assert.deepEqual(exposed(visits), ["b: a-k1 1", "c: a-k1 b-k2 1", "d: a-k1 b-k2 c-k3 1"]);
  });

  it("answers what one more find would mean", () => {
    const { timeline } = new WrittenCarriers(
      stays("kit a 01T08:00", "kit b 01T09:00", "seeder d 01T08:00", "seeder e 01T09:00"),
    );
    const assumed = [...CONFIRMED, { field: "d", confirmedOn: parseDay("2026-08-01")! }];
    assert.deepEqual(
      exposures(timeline, CONFIRMED, 1095).exposed.map((each) => each.field),
      ["b"],
    );
    assert.deepEqual(
      exposures(timeline, assumed, 1095).exposed.map((each) => each.field),
      ["b", "e"],
    );
  });

  it("takes any id and any number without harm", () => {
    const odd: WrittenStay[] = ["__proto__", "constructor", "", "a"].map((field, visit) => ({
      ...{ field, carrier: "__proto__", visit },
      ...{ arrived: visit === 2 ? NaN : 5 - visit, left: visit },
    }));
    const { timeline } = new WrittenCarriers(odd, [
      { carrier: "toString", at: Infinity, full: true, soilLeft: NaN, cleaning: 0 },
    ]);
    assert.deepEqual(
      soilFrom(timeline, { field: "__proto__" }).map((each) => each.field),
      ["a", "constructor"],
    );
    assert.deepEqual(soilFrom(timeline, { field: "hasOwnProperty" }), []);
    assert.deepEqual(soilTo(timeline, { carrier: "valueOf" }), []);
    assert.deepEqual(exposures(new SoilTimeline([]), [{ field: "__proto__", confirmedOn: 1 }], 1).exposed, []);
  });

  it("loses no arrival to a year of departure that is far off", () => {
    for (const year of ["6054", "9999"]) {
      const left = parseMinute(`${year}-12-31T23:59`)!;
      const [first, ...others] = stays("kit a 01T08:00", "kit b 01T10:00", "kit c 01T11:00");
      const [b, c] = others;
      const written = new WrittenCarriers([first, { ...b, left }, c]);
      assert.deepEqual(
        exposures(written.timeline, CONFIRMED, 1095).exposed.map(({ field }) => field),
        ["b", "c"],
      );
      const onBoard = soilTo(written.timeline, { carrier: "kit" }).find(({ field }) => field === "b");
      assert.equal(onBoard?.carrierLeg?.at, left);
    }
  });

  it("takes stays whose ends lie in any order without going through all clean-downs for each", () => {
    // Every second stay lasts for years, as by a slip in a date. Going from one end to the next would take some 10^9 steps.
    const many = 40_000;
    const kit: WrittenStay[] = [];
    const cleaned: WrittenCleanDown[] = [];
    for (let n = 0; n < many; n++) {
      const left = n % 2 === 0 ? 10 * n : 20 * many - 10 * n;
      kit.push({ field: `f-${n % 3}`, carrier: "kit", arrived: 10 * n, left, visit: n });
      cleaned.push({ carrier: "kit", at: 10 * n + 5, full: true, soilLeft: 0, cleaning: n });
    }
    const { timeline } = new WrittenCarriers(kit, cleaned);
    assert.equal(timeline.forward.departureStretch[1], many);
    assert.equal(timeline.forward.departureStretch[2], 2);
  });

  it("follows a chain as long as the season without trying every pair", () => {
    // One carrier per link, all at one minute, in an order that is the worst for going through the list again and again;
    // and one kit that is never cleaned. Trying all pairs of the kit's visits would take thousands of millions of steps.
    const links = 20_000;
    const name = (n: number): string => `f-${String(n).padStart(6, "0")}`;
    const chain: WrittenStay[] = [];
    for (let n = links - 1; n >= 0; n--) {
      const carrier = `c-${n}`;
      for (const field of [name(n + 1), name(n)]) chain.push({ field, carrier, arrived: 0, left: 0, visit: n });
    }
    const kit: WrittenStay[] = [];
    for (let n = 0; n < 60_000; n++) kit.push({ field: `k-${n % 500}`, carrier: "kit", arrived: n, left: n, visit: n });
    const { timeline } = new WrittenCarriers([...chain, ...kit]);
    const confirmed = [
      { field: name(0), confirmedOn: 0 },
      { field: "k-0", confirmedOn: 0 },
    ];
    const { exposed: found } = exposures(timeline, confirmed, 0);
    assert.equal(found.length, links + 499);
    assert.equal(found.find((each) => each.field === name(1000))?.carriages, 1000);
  });
});

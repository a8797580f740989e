import { strict as assert } from "node:assert";
import fc from "fast-check";
import type { Book } from "../../server/src/book/book.ts";
import { openBook } from "../../server/src/book/open-book.ts";
import { planParts, seasonPlan, type SeasonPlan } from "../../server/src/planning/season-plan.ts";
import type { WalkProblem } from "../../server/src/planning/walk-problem.ts";
import { bruteForce } from "./brute-force.ts";
import { bookOf, bookSpecs, FIRST, placeOf, type BookSpec } from "./planned-books.ts";

const RANKS = { clean: 0, suspected: 2, confirmed: 3 };
const MORNING = FIRST * 1440;
const HOME: [number, number] = [-104.2, 52];

/** Whether a field may be entered on a day, and from when, by the spec alone: no word of the planner's is asked. */
function opensOn(spec: BookSpec, field: BookSpec["fields"][number], day: number): number {
  // The base pack: 14 days before swathing to 7 days after.
  if (day < field.swathed - 14 || day > field.swathed + 7) return Infinity;
  // 5 mm on the day and the one before; what falls after the first day is not known.
  const wet = day === 0 ? spec.rain[0] + spec.rain[1] : day === 1 ? spec.rain[1] : 0;
  if (wet >= 5) return Infinity;
  const until = field.sprayed ? (field.sprayed.ended + field.sprayed.hours) * 60 : -Infinity;
  return until >= (day + 1) * 1440 ? Infinity : MORNING + Math.max(until, day * 1440);
}

/** The same problem, made from the spec; how long a walk and a drive take is taken from the planner. */
function ownProblem(spec: BookSpec, theirs: WalkProblem): WalkProblem {
  const tasks = theirs.tasks.map((task) => {
    const field = spec.fields[Number(task.field.slice(1))]!;
    return {
      ...task,
      rank: RANKS[field.status],
      closesInPlan: field.swathed + 7 < spec.days,
      openFrom: Array.from({ length: spec.days }, (_, day) => opensOn(spec, field, day)),
    };
  });
  const shifts = theirs.shifts.map((shift) => {
    const isEarly = spec.earlier !== undefined && shift.day === 0 && shift.walker === "mo";
    const morning = MORNING + shift.day * 1440;
    return {
      ...shift,
      begins: morning + (isEarly ? 8 : 7) * 60,
      ends: morning + (7 + spec.hours) * 60,
      leastRank: isEarly ? RANKS[spec.fields[spec.earlier!]!.status] : 0,
    };
  });
  return { ...theirs, tasks, shifts };
}

function planOf(spec: BookSpec): SeasonPlan {
  const plan = seasonPlan(bookOf(spec), { from: FIRST, days: spec.days, crew: spec.crew, home: HOME });
  assert.ok(!("why" in plan));
  return plan;
}

describe("the plan of a season", () => {
  it("breaks no rule and is never worse than the best, for random small books", () => {
    let tight = 0;
    fc.assert(
      fc.property(bookSpecs, (spec) => {
        const plan = planOf(spec);
        const parts = planParts(bookOf(spec), plan.question);
        assert.ok(!("why" in parts));
        // Every field whose window meets the days is in the problem, and no other.
        const wanted = spec.fields.flatMap((one, i) =>
          one.swathed + 7 >= 0 && one.swathed - 14 < spec.days ? [`f${i}`] : [],
        );
        assert.deepEqual(
          parts.works.map(({ field }) => field),
          wanted,
        );
        const own = ownProblem(spec, parts.problem);
        const best = bruteForce(own);
        assert.deepEqual(plan.solved.cost, best);
        if (best.missed + best.left > 0) tight++;
        const seen = new Set<string>();
        for (const { day, walker, fields, begins, ended } of plan.days) {
          const at = day - FIRST;
          const isEarly = spec.earlier !== undefined && at === 0 && walker.id === "mo";
          assert.ok(begins >= MORNING + at * 1440 + (isEarly ? 8 : 7) * 60);
          assert.ok(ended <= MORNING + at * 1440 + (7 + spec.hours) * 60, "a day is too long");
          let rank = isEarly ? RANKS[spec.fields[spec.earlier!]!.status] : 0;
          let now = begins;
          for (const { work, by, arrived, walked, left } of fields) {
            const field = spec.fields[Number(work.field.slice(1))]!;
            assert.ok(!seen.has(work.field), "a field is walked twice");
            seen.add(work.field);
            assert.ok(RANKS[field.status] >= rank, "a clean field is walked after a riskier one");
            assert.ok(arrived >= opensOn(spec, field, at), "a field is entered that is closed");
            assert.ok(arrived >= now + by.minutes);
            // 15 minutes of contact and 10 of handwork, by the base pack.
            assert.ok(left - walked >= 25, "a clean-down is cut short");
            [rank, now] = [RANKS[field.status], left];
          }
        }
        const missed = wanted.filter(
          (id) => !seen.has(id) && spec.fields[Number(id.slice(1))]!.swathed + 7 < spec.days,
        );
        assert.deepEqual(
          plan.leftOut.filter(({ isMissed }) => isMissed).map(({ field }) => field),
          missed,
        );
        // Every field is walked, or left out with a reason.
        assert.equal(seen.size + plan.leftOut.length, spec.fields.length);
      }),
      { numRuns: 600 },
    );
    assert.ok(tight > 100, `only ${tight} books were too tight for all their fields`);
  });

  it("goes from home to the field by the great circle, lengthened by the region's road factor", () => {
    const spec: BookSpec = {
      fields: [{ place: [0, 0], status: "clean", swathed: 5, sprayed: undefined }],
      crew: ["mo"],
      days: 1,
      hours: 9,
      rain: [0, 0],
      earlier: undefined,
    };
    const plan = planOf(spec);
    // A degree of a great circle on the sphere of 6371.0088 km is 111.195 km: 0.1° of latitude north, 0.2° of longitude east.
    const [longitude, latitude] = placeOf(spec.fields[0]!);
    const [dx, dy] = [
      (HOME[0] - longitude) * Math.cos(((HOME[1] + latitude) / 2) * (Math.PI / 180)),
      HOME[1] - latitude,
    ];
    const metres = 2 * 1.3 * Math.hypot(dx, dy) * 111_195;
    assert.ok(Math.abs(plan.solved.cost.metres - metres) < 30, `${plan.solved.cost.metres} and ${metres}`);
  });

  it("digs an exposed field also where the soil may have come in, unless that was dug", () => {
    const book = (digs: string): Book => {
      const files = {
        "season.yaml": "season: 2026\nregion: base\ncrew: [{ id: mo }]\n",
        "a.fields.yaml":
          "fields:\n  - { id: bad, clubroot: { found_on: 2025-08-01 } }\n" +
          "  - { id: oak, area_ha: 20, entrances: [{ id: gate, usual: true, position: [-104.4, 51.9] }, { id: back, position: [-104.39, 51.9] }] }\n",
        "a.equipment.yaml": "equipment: [{ id: drill, kind: seeder }]\n",
        "a.rotations.yaml": "rotations: [{ field: oak, crops: [{ year: 2026, crop: canola, seeded: 2026-05-07 }] }]\n",
        "a.visits.yaml":
          "visits:\n  - { id: v1, field: bad, arrived: 2026-05-06T08:00, purpose: seeding, equipment: [drill] }\n" +
          `  - { id: v2, field: oak, entrance: back, arrived: 2026-05-07T08:00, purpose: seeding, equipment: [drill] }\n${digs}`,
      };
      const sources = Object.entries(files).map(([path, text]) => ({ path, text }));
      return openBook(sources, { asOf: FIRST, today: FIRST, allSeasons: false }).book;
    };
    const stops = (digs: string): unknown => {
      const plan = seasonPlan(book(digs), { from: FIRST, days: 1, crew: ["mo"] });
      assert.ok(!("why" in plan));
      const [oak] = plan.days.flatMap(({ fields }) => fields);
      assert.equal(oak?.work.status, "exposed");
      return oak.work.stops
        .filter(({ place }) => place === "entrance")
        .map(({ entrance, cameInOn, plants }) => [entrance?.id, cameInOn, plants]);
    };
    // 30 plants at an entrance, by the base pack.
    assert.deepEqual(stops(""), [
      ["gate", undefined, 30],
      ["back", "drill", 30],
    ]);
    const dug = (place: string): string =>
      `  - { id: v3, field: oak, arrived: 2026-08-19T08:00, purpose: scouting, digs: [{ id: d1, place: entrance, plants: 30, ratings: [30, 0, 0, 0], position: [${place}] }] }\n`;
    assert.deepEqual(stops(dug("-104.4, 51.9")), [["back", "drill", 30]]);
    assert.deepEqual(stops(dug("-104.39, 51.9")), []);
  });
});

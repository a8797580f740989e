import { strict as assert } from "node:assert";
import fc from "fast-check";
import { formatMinute, parseMinute } from "../../server/src/base/days.ts";
import { check, findingsOf } from "../support/check.ts";
import { parseFixture } from "../support/fixture.ts";

const entry = { only: (code: string) => code.startsWith("entry/") };

describe("entry/wet-ground", () => {
  it("looks at every year with all seasons, and never past the as-of day", () => {
    check(
      `#! all-seasons
#! as-of: 2026-06-09
#- all.visits.yaml
visits:
  - id: v1
    field: long-meadow
    arrived: 2024-06-09T09:40
    purpose: other
    ground: wet
    #       ^^^ warning entry/wet-ground: Long Meadow
  - { id: v2, field: long-meadow, arrived: 2026-06-10T09:40, purpose: other, ground: wet }
`,
      entry,
    );
  });

  it("calls a field that no file defines by its id", () => {
    check(
      `#- all.visits.yaml
visits:
  - id: v1
    field: north-80
    arrived: 2026-06-09T09:40
    purpose: other
    ground: wet
    #       ^^^ warning entry/wet-ground: north-80 was entered
`,
      entry,
    );
  });
});

describe("entry/re-entry", () => {
  it("names the spraying that keeps the field closed longest, and links it", () => {
    const [finding] = check(
      `#- all.visits.yaml
visits:
  - { id: s1, field: long-meadow, arrived: 2026-06-17T18:00, purpose: spraying, re_entry_hours: 48 }
  - { id: s2, field: long-meadow, arrived: 2026-06-19T17:00, left: 2026-06-19T17:30, purpose: spraying, re_entry_hours: 4 }
    #                                      ^^^^^^^^^^^^^^^^ error entry/re-entry: 1 hour too early: spraying ended at 18:00 on 17 Jun
  - { id: v1, field: long-meadow, arrived: 2026-06-19T17:45, purpose: other }
    #                                      ^^^^^^^^^^^^^^^^ error entry/re-entry: 3 hours 45 minutes too early: spraying ended at 17:30, and the re-entry interval of 4 hours runs until 21:30;
`,
      entry,
    ).slice(-1);
    assert.deepEqual(
      finding!.related.map(({ range, message }) => [range.start.line, message]),
      [[2, "the spraying and its re-entry interval"]],
    );
  });

  it("a spraying without an end counts from its arrival, and does not close itself out", () => {
    check(
      `#- all.visits.yaml
visits:
  - { id: s1, field: long-meadow, arrived: 2026-06-17T18:00, purpose: spraying, re_entry_hours: 1.5 }
  - { id: v1, field: long-meadow, arrived: 2026-06-17T19:29, purpose: other }
    #                                      ^^^^^^^^^^^^^^^^ error entry/re-entry: 1 minute too early: spraying ended at 18:00, and the re-entry interval of 1.5 hours runs until 19:30
  - { id: v2, field: long-meadow, arrived: 2026-06-17T19:30, purpose: other }
`,
      entry,
    );
  });

  it("two sprayings in the same minute close each other's out", () => {
    check(
      `#- all.visits.yaml
visits:
  - { id: s1, field: long-meadow, arrived: 2026-06-17T18:00, purpose: spraying, re_entry_hours: 12 }
    #                                      ^^^^^^^^^^^^^^^^ error entry/re-entry: 4 hours too early
  - { id: s2, field: long-meadow, arrived: 2026-06-17T18:00, purpose: spraying, re_entry_hours: 4 }
    #                                      ^^^^^^^^^^^^^^^^ error entry/re-entry: 12 hours too early
`,
      entry,
    );
  });

  it("a spraying of the year before still closes the field", () => {
    check(
      `#- all.visits.yaml
visits:
  - { id: s1, field: long-meadow, arrived: 2025-12-31T18:00, purpose: spraying, re_entry_hours: 24 }
  - { id: v1, field: long-meadow, arrived: 2025-12-31T23:00, purpose: other }
  - { id: v2, field: long-meadow, arrived: 2026-01-01T08:00, purpose: other }
    #                                      ^^^^^^^^^^^^^^^^ error entry/re-entry: spraying ended at 18:00 on 31 Dec 2025
`,
      entry,
    );
  });

  it("hours that are no hours, and hours of another purpose, close nothing", () => {
    check(
      `#- all.visits.yaml
visits:
  - { id: s1, field: long-meadow, arrived: 2026-06-17T18:00, purpose: spraying, re_entry_hours: 0 }
  - { id: s2, field: long-meadow, arrived: 2026-06-17T18:01, purpose: spraying, re_entry_hours: .inf }
  - { id: s3, field: long-meadow, arrived: 2026-06-17T18:02, purpose: seeding, re_entry_hours: 12 }
  - { id: s4, field: long-meadow, arrived: 2026-06-17T18:03, purpose: spraying }
  - { id: v1, field: long-meadow, arrived: 2026-06-17T19:00, purpose: other }
`,
      entry,
    );
  });

  it("finds the same visits as asking each against every spraying", () => {
    const start = parseMinute("2026-06-17T06:00")!;
    const visit = fc.record({
      at: fc.nat(40),
      stays: fc.nat(6),
      hours: fc.option(fc.integer({ min: 1, max: 20 }), { nil: undefined }),
    });
    fc.assert(
      fc.property(fc.array(visit, { maxLength: 12 }), (visits) => {
        const lines = visits.map(({ at, stays, hours }, i) => {
          const spraying = hours === undefined ? "other" : `spraying, re_entry_hours: ${hours / 60}`;
          return `  - { id: v${i}, field: long-meadow, arrived: ${formatMinute(start + at)}, left: ${formatMinute(start + at + stays)}, purpose: ${spraying} }`;
        });
        const fixture = parseFixture(
          `#- all.visits.yaml\nvisits:${lines.length > 0 ? `\n${lines.join("\n")}` : " []"}\n`,
        );
        const found = findingsOf(fixture).filter((finding) => finding.code === "entry/re-entry");
        const expected = visits.flatMap((own, i) => {
          const early = visits.some((other, j) => {
            const end = other.at + other.stays;
            return j !== i && other.hours !== undefined && end <= own.at && own.at < end + other.hours;
          });
          return early ? [`v${i}`] : [];
        });
        assert.deepEqual(
          found.map((finding) => finding.record.id),
          expected,
        );
      }),
    );
  });
});

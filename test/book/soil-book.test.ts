import { strict as assert } from "node:assert";
import fc from "fast-check";
import { formatDay, formatMinute, MINUTES_PER_DAY, parseDay } from "../../server/src/base/days.ts";
import { openBook } from "../../server/src/book/open-book.ts";
import { traceSoil } from "../../server/src/book/trace.ts";
import { traceJson } from "../../server/src/output/trace-json.ts";
import { check } from "../support/check.ts";
import { FIELDS, smallBooks, type SmallBook } from "../soil/small-books.ts";

/** The day that minute 0 of a small book falls on. */
const FIRST_DAY = parseDay("2026-05-01")!;
const LAST_DAY = "2026-12-31";

interface WrittenRecord {
  readonly kind: "visits" | "cleanings" | "fields" | "samples" | "rotations";
  readonly text: string;
}

/** Cleanings of the region's own shares: a small book's share of soil is made up, and only full or partial is kept. */
const FULL = "[{ step: remove soil }, { step: wash }, { step: disinfect, strength_percent: 1, contact_minutes: 20 }]";
const PARTIAL: readonly string[] = [
  "[{ step: remove soil }]",
  "[{ step: remove soil }, { step: wash }]",
  "[{ step: wash }, { step: disinfect, strength_percent: 0.5, contact_minutes: 20 }]",
  "[{ step: remove soil }, { step: disinfect, strength_percent: 1, contact_minutes: 20 }]",
];

/** The small book as records of the format. The first find of a field is on its record, others are a lab's. */
function recordsOf(book: SmallBook): WrittenRecord[] {
  const records: WrittenRecord[] = [];
  const time = (minute: number): string => formatMinute(FIRST_DAY * MINUTES_PER_DAY + minute);
  const day = (n: number): string => formatDay(FIRST_DAY + n);
  const foundOnRecord = new Map<string, number>();
  book.confirmed.forEach(({ field, confirmedOn }, i) => {
    if (i % 2 === 0 && !foundOnRecord.has(field)) foundOnRecord.set(field, confirmedOn);
    else {
      const result = `result: { reported: ${day(confirmedOn)}, finding: detected }`;
      const text = `{ id: s${i}, field: ${field}, material: roots, taken: ${day(confirmedOn - 2)}, ${result} }`;
      records.push({ kind: "samples", text });
    }
  });
  for (const field of FIELDS) {
    const found = foundOnRecord.get(field);
    const known = found === undefined ? "" : `, clubroot: { found_on: ${day(found)} }`;
    records.push({ kind: "fields", text: `{ id: ${field}${known} }` });
  }
  book.visits.forEach(({ field, arrived, left, equipment, crew, footwear }, i) => {
    const times = `arrived: ${time(arrived)}, left: ${time(left)}`;
    const who = `crew: [${crew.join(", ")}], equipment: [${equipment.join(", ")}], footwear: ${footwear}`;
    records.push({ kind: "visits", text: `{ id: v${i}, field: ${field}, ${times}, purpose: other, ${who} }` });
  });
  book.cleanings.forEach(({ at, carriers, full, soilLeft }, i) => {
    const steps = full ? FULL : PARTIAL[Math.floor(soilLeft * 40) % PARTIAL.length];
    const text = `{ id: c${i}, at: ${time(at)}, equipment: [${carriers.join(", ")}], steps: ${steps} }`;
    records.push({ kind: "cleanings", text });
  });
  return records;
}

const SEASON = "season: 2026\nregion: ca-prairies\ncrew:\n  - { id: mo }\n  - { id: al }\n";

/** The trace's JSON of records that are written to files by `fileOf`, in the order given. */
function traceOf(records: readonly WrittenRecord[], fileOf: (i: number) => string, asOf = LAST_DAY): string {
  const files = new Map([["season.yaml", SEASON]]);
  records.forEach(({ kind, text }, i) => {
    const path = `${fileOf(i)}.${kind}.yaml`;
    files.set(path, `${files.get(path) ?? `${kind}:\n`}  - ${text}\n`);
  });
  const today = parseDay(asOf)!;
  const sources = [...files].map(([path, text]) => ({ path, text }));
  const { book } = openBook(sources, { asOf: today, today, allSeasons: false });
  const { confirmed, exposed } = traceSoil(book, {
    place: undefined,
    from: undefined,
    direction: "both",
    assumed: [],
  });
  return traceJson({ asOf, confirmed, exposed });
}

interface Trace {
  readonly confirmed: readonly { readonly field: string }[];
  readonly exposed: readonly { readonly field: string; readonly arrived: string; readonly carriages: number }[];
}

describe("the soil of a whole book", () => {
  it("has the same trace, byte for byte, however its records are split over files and in whatever order", () => {
    let exposed = 0;
    fc.assert(
      fc.property(
        smallBooks.chain((book) => {
          const records = recordsOf(book);
          const places = Array.from({ length: records.length }, () => fc.constantFrom("a", "b/2026/may", "b/c", "z"));
          return fc.record({
            records: fc.constant(records),
            shuffled: fc.shuffledSubarray(records, { minLength: records.length }),
            places: fc.tuple(...places),
          });
        }),
        ({ records, shuffled, places }) => {
          const whole = traceOf(records, () => "all");
          assert.equal(
            traceOf(shuffled, (i) => places[i]),
            whole,
          );
          exposed += (JSON.parse(whole) as Trace).exposed.length;
        },
      ),
      { numRuns: 300 },
    );
    assert.ok(exposed > 300, `only ${exposed} fields exposed: the books say nothing of this`);
  });

  it("has the same share of soil to the last digit, whichever of the cleanings of one minute is written first", () => {
    const visit = (id: string, field: string, day: number): WrittenRecord => ({
      kind: "visits",
      text: `{ id: ${id}, field: ${field}, arrived: 2026-05-0${day}T08:00, purpose: other, equipment: [kit] }`,
    });
    const cleaning = (steps: string, i: number): WrittenRecord => ({
      kind: "cleanings",
      text: `{ id: c${i}, at: 2026-05-01T09:00, equipment: [kit], steps: ${steps} }`,
    });
    const cleanings = [PARTIAL[0], PARTIAL[1], PARTIAL[3]].map(cleaning);
    const others: WrittenRecord[] = [
      { kind: "fields", text: "{ id: a, clubroot: { found_on: 2026-05-01 } }" },
      visit("v0", "a", 1),
      visit("v1", "b", 2),
    ];
    const orders = cleanings.flatMap((first) => {
      const rest = cleanings.filter((each) => each !== first);
      return [
        [first, ...rest],
        [first, ...rest.reverse()],
      ];
    });
    const traces = orders.map((order) => traceOf([...order, ...others], () => "all"));
    assert.equal(new Set(traces).size, 1);
    // By the region's figures 0.1, 0.1 · 0.1 and 0.1 · 0.05.
    const [{ soil_left: left }] = (JSON.parse(traces[0]) as { exposed: { soil_left: number }[] }).exposed;
    assert.ok(Math.abs(left - 5e-6) < 1e-18, String(left));
  });

  it("never loses an exposure to a later as-of day, unless the field is confirmed by then", () => {
    let kept = 0;
    fc.assert(
      fc.property(smallBooks, fc.nat({ max: 12 }), fc.nat({ max: 12 }), (book, first, more) => {
        const records = recordsOf(book);
        const on = (n: number): Trace => JSON.parse(traceOf(records, () => "all", formatDay(FIRST_DAY + n))) as Trace;
        const [before, after] = [on(first), on(first + more)];
        for (const { field, arrived, carriages } of before.exposed) {
          if (after.confirmed.some((each) => each.field === field)) continue;
          const same = after.exposed.find((each) => each.field === field);
          assert.ok(same, `${field} is exposed on day ${first} and no more on day ${first + more}`);
          assert.ok(same.arrived <= arrived && same.carriages <= carriages, `${field} is exposed later, or by more`);
          kept++;
        }
        for (const { field } of before.confirmed) assert.ok(after.confirmed.some((each) => each.field === field));
      }),
      { numRuns: 300 },
    );
    assert.ok(kept > 100, `only ${kept} exposures to keep: the books say nothing of this`);
  });
});

describe("trace/exposed", () => {
  it("links the chain in order: the visit left, each cleaning that fell short, the visit reached", () => {
    const [finding] = check(
      `#- all.fields.yaml
fields:
  - { id: mill-flat, name: Mill Flat, clubroot: { found_on: 2026-01-02 }, notices: [{ on: 2026-01-03 }] }
  - { id: long-meadow, name: Long Meadow, clubroot: { found_on: 2026-10-30 } }
  - { id: east-rise, name: East Rise }
  #       ^^^^^^^^^ warning trace/exposed: soil of Mill Flat may have come to Far Corner on seeder-1 (left 8 May, arrived 9 May), then here on the boots of mo (left 1 Jun, arrived 2 Jun), about 1 % of it left
  - { id: far-corner, name: Far Corner }
  #       ^^^^^^^^^^ warning trace/exposed: soil of Mill Flat may have come here on seeder-1 (left 8 May, arrived 9 May), about 1 % of it left
#- z.visits.yaml
visits:
  - { id: v4, field: east-rise, arrived: 2026-06-02T09:00, purpose: other, crew: [mo], footwear: unprotected }
  - { id: v1, field: mill-flat, arrived: 2026-05-08T08:00, left: 2026-05-08T18:00, purpose: seeding, equipment: [seeder-1] }
#- a.visits.yaml
visits:
  - { id: v3, field: far-corner, arrived: 2026-06-01T09:00, purpose: other, crew: [mo], footwear: unprotected }
  - { id: v2, field: far-corner, arrived: 2026-05-09T08:00, left: 2026-05-09T18:00, purpose: seeding, equipment: [seeder-1] }
#- all.cleanings.yaml
cleanings:
  - { id: c2, at: 2026-05-08T19:00, equipment: [seeder-1], steps: [{ step: wash, with: water }] }
  - { id: c1, at: 2026-05-08T18:30, equipment: [seeder-1], steps: [{ step: remove soil }] }
  - { id: c0, at: 2026-05-08T12:00, equipment: [seeder-1], steps: [{ step: remove soil }] }
  - { id: c3, at: 2026-05-09T20:00, equipment: [seeder-1], steps: [{ step: remove soil }] }
`,
      { only: (code) => code === "trace/exposed" },
    );
    assert.deepEqual(
      finding!.related.map(({ file, range, message }) => `${file}:${range.start.line + 1} ${message}`),
      [
        "z.visits.yaml:3 seeder-1 leaves Mill Flat",
        "all.cleanings.yaml:3 a clean-down that fell short: about 10 % left",
        "all.cleanings.yaml:2 a clean-down that fell short: about 10 % left",
        "a.visits.yaml:3 seeder-1 arrives on Far Corner",
        "a.visits.yaml:2 the boots of mo leave Far Corner",
        "z.visits.yaml:2 the boots of mo arrive on East Rise",
      ],
    );
    // The very words are underlined: the time of leaving (of arriving, where none is recorded) and the steps.
    const starts = finding!.related.map(({ range }) => [
      range.start.character,
      range.end.character - range.start.character,
    ]);
    assert.deepEqual(
      starts.map(([, width]) => width),
      [16, 5, 5, 16, 16, 16],
    );
  });
});

import { strict as assert } from "node:assert";
import fc from "fast-check";
import { RULES } from "../../server/generated/rules.ts";
import { parseDay } from "../../server/src/base/days.ts";
import { openBook } from "../../server/src/book/open-book.ts";
import { runRules } from "../../server/src/rules/engine.ts";
import { LiveBook } from "../../server/src/rules/live-book.ts";
import { publish } from "../../server/src/rules/publish.ts";

const TODAY = parseDay("2026-08-20")!;
const OPTIONS = { asOf: TODAY, today: TODAY, allSeasons: false };

const BOOK: Readonly<Record<string, string>> = {
  "season.yaml": "season: 2026\nregion: made-up.region.yaml\ncrew: [{ id: mo }]\n",
  "made-up.region.yaml": `region: made-up
extends: ca-prairies
records:
  visits:
    required: [permit]
    properties: { permit: { type: string }, purpose: { enum: [soil survey] } }
  fields: { properties: { zone: { type: string, enum: [red, green] } } }
checks:
  - { code: county/zone, on: visits, when: "has(field.zone) && field.zone == 'red' && record.purpose != 'scouting'", message: red }
  - { code: county/permit, on: visits, at: permit, when: "record.permit.startsWith('B')", message: B }
  - { code: county/digs, on: visits, when: "record.digs.exists(d, d.plants > 10)", message: many }
`,
  "a.fields.yaml": "fields:\n  - id: long-meadow\n    zone: red\n  - id: mill-flat\n    zone: green\n",
  "a.visits.yaml": `visits:
  - id: v1
    field: long-meadow
    arrived: 2026-08-14T09:40
    purpose: other
    permit: A 1
  - id: v2
    field: mill-flat
    arrived: 2026-08-15T09:40
    purpose: scouting
    permit: B 2
    digs: [{ id: d1, place: entrance, plants: 20 }]
  - id: v3
    field: long-meadow
    arrived: 2026-08-16T09:40
    purpose: soil survey
`,
  "b.visits.yaml": "visits:\n  - id: v4\n    field: mill-flat\n    arrived: 2026-08-12T09:40\n    purpose: other\n",
};

const WORDS = [
  ["red", "green"],
  ["B 2", "A 2"],
  ["permit: A 1", "permit: B 1"],
  ["permit", "# permit"],
  ["    digs: ", "    # digs: "],
  ["plants: 20", "plants: 5"],
  ["soil survey", "other"],
  ["long-meadow", "mill-flat"],
  ["id: v2", "id: v22"],
  ["2026-08-15", "2025-08-15"],
  ["required: [permit]", "required: []"],
  ["enum: [soil survey]", "enum: [soil surveys]"],
  ["county/digs", "county/dug"],
  ["message: red", "level: error, message: red"],
  ["region: made-up.region.yaml", "region: base"],
  ["season: 2026\n", "format: 2\nseason: 2026\n"],
  ["visits:\n", "visits:\n  # accept county/permit: why not\n"],
] as const;

type Files = ReadonlyMap<string, string>;
const step = fc.record({
  file: fc.constantFrom(...Object.keys(BOOK)),
  word: fc.nat(WORDS.length - 1),
  back: fc.boolean(),
  gone: fc.integer({ min: 0, max: 15 }),
});

function fresh(files: Files): Map<string, unknown> {
  const opened = openBook(
    [...files].map(([path, text]) => ({ path, text })),
    OPTIONS,
  );
  const findings = publish(opened, runRules(opened.book, RULES), RULES);
  return new Map(opened.book.files.map(({ path }) => [path, findings.filter(({ file }) => file === path)]));
}

describe("a book with a region's own keys and checks that is being edited", () => {
  it("has the findings of a fresh check after every step of 300 random sessions", () => {
    const seen = new Set<string>();
    fc.assert(
      fc.property(fc.array(step, { minLength: 1, maxLength: 10 }), (steps) => {
        let files: Files = new Map(Object.entries(BOOK));
        const live = new LiveBook(
          [...files].map(([path, text]) => ({ path, text })),
          OPTIONS,
          RULES,
        );
        for (const { file, word, back, gone } of steps) {
          const [from, to] = back ? [WORDS[word]![1], WORDS[word]![0]] : WORDS[word]!;
          const before = files.get(file);
          const text = gone === 0 ? undefined : (before ?? BOOK[file]!).replace(from, to);
          const after = new Map(files);
          if (text === undefined) after.delete(file);
          else after.set(file, text);
          files = after;
          live.update(new Map([[file, text === undefined ? undefined : { path: file, text }]]));
          const expected = fresh(files);
          assert.deepEqual(new Map(live.allFindings()), expected);
          for (const found of expected.values()) for (const { code } of found as { code: string }[]) seen.add(code);
        }
      }),
      { numRuns: 300 },
    );
    for (const code of ["county/zone", "county/permit", "county/digs", "structure/schema", "structure/accept-unused"])
      assert.ok(seen.has(code), `${code} was never found`);
  });
});

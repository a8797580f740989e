import { strict as assert } from "node:assert";
import { definition } from "../../server/src/features/definition.ts";
import { documentHighlights } from "../../server/src/features/document-highlights.ts";
import { references } from "../../server/src/features/references.ts";
import type { FeatureContext } from "../../server/src/features/context.ts";
import { atCursor } from "../support/feature.ts";

const BOOK = `#- season.yaml
season: 2026
region: ca-prairies
growers:
  - { id: alder-bench, name: Alder Bench Farm }
crew:
  - { id: mo, name: M. Okafor }
labs:
  - { id: plains-lab, name: Plains Plant Diagnostics }
#- a.fields.yaml
fields:
  - id: long-meadow
    name: "Long Meadow 🌱"
    grower: alder-bench
    entrances:
      - { id: gate, usual: true }
  - { id: mill-flat, grower: alder-bench, entrances: [{ id: gate }] }
#- a.equipment.yaml
equipment:
  - { id: dig-kit, kind: hand tools, owner: alder-bench }
  - { id: spade, kind: hand tools, owner: crew }
#- a.rotations.yaml
rotations:
  - { field: long-meadow, crops: [{ year: 2026, crop: canola }] }
#- a.visits.yaml
visits:
  - id: v1
    field: long-meadow
    entrance: gate
    arrived: 2026-08-14T09:40
    crew: ["mo"]
    equipment: ['dig-kit', spade]
    footwear: unprotected
    patches:
      - { id: p1, symptom: "ripening early 🌱" }
    digs:
      - { id: d1, place: patch, patch: p1, plants: 10, ratings: [10, 0, 0, 0] }
  - id: v2
    field: mill-flat
    entrance: gate
    arrived: 2026-08-15T09:40
    crew: [mo]
    patches:
      - { id: p1 }
    digs:
      - { id: d1, place: patch, patch: "v1#p1", plants: 10, ratings: [10, 0, 0, 0] }
      - { id: d2, place: patch, patch: p1, plants: 10, ratings: [10, 0, 0, 0] }
#- a.cleanings.yaml
cleanings:
  - { id: c1, at: 2026-08-14T12:00, field: long-meadow, equipment: [dig-kit, boots/mo], by: mo, steps: [{ step: wash }] }
#- a.samples.yaml
samples:
  - { id: s1, field: long-meadow, visit: v1, dig: d1, lab: plains-lab, taken: 2026-08-14 }
`;

/** The book with the cursor right before the `nth` place of a text in a file. */
function cursorIn(file: string, text: string, book = BOOK): { context: FeatureContext; offset: number } {
  const head = book.indexOf(`#- ${file}\n`);
  const at = book.indexOf(text, head);
  assert.ok(head >= 0 && at >= 0, `${text} is not in ${file}`);
  return atCursor(`${book.slice(0, at)}$0${book.slice(at)}`);
}

/** `file:line text` of a place. */
function shown({ book }: FeatureContext, path: string, span: { start: number; end: number }): string {
  const text = book.files.find((file) => file.path === path)!.text;
  return `${path}:${text.slice(0, span.start).split(/\r\n|\n/).length} ${text.slice(span.start, span.end)}`;
}

function definitionAt(file: string, text: string, book?: string): string | undefined {
  const { context, offset } = cursorIn(file, text, book);
  const link = definition(context, offset);
  return link && shown(context, link.path, link.selection);
}

function referencesAt(file: string, text: string, withDefinition = true, book?: string): string[] {
  const { context, offset } = cursorIn(file, text, book);
  return references(context, offset, { withDefinition }).map(({ path, span }) => shown(context, path, span));
}

describe("definition", () => {
  const cases: [file: string, at: string, expected: string][] = [
    ["a.fields.yaml", "alder-bench", "season.yaml:4 alder-bench"],
    ["a.rotations.yaml", "long-meadow", "a.fields.yaml:2 long-meadow"],
    ["a.visits.yaml", "long-meadow", "a.fields.yaml:2 long-meadow"],
    ["a.visits.yaml", "gate", "a.fields.yaml:6 gate"],
    ["a.visits.yaml", "gate\n    arrived: 2026-08-15", "a.fields.yaml:7 gate"],
    ["a.visits.yaml", 'mo"', "season.yaml:6 mo"],
    ["a.visits.yaml", "dig-kit", "a.equipment.yaml:2 dig-kit"],
    ["a.visits.yaml", "p1, plants", "a.visits.yaml:10 p1"],
    ["a.visits.yaml", "v1#p1", "a.visits.yaml:2 v1"],
    ["a.visits.yaml", 'p1", plants', "a.visits.yaml:10 p1"],
    ["a.visits.yaml", "p1, plants: 10, ratings: [10, 0, 0, 0] }\n#", "a.visits.yaml:19 p1"],
    ["a.cleanings.yaml", "dig-kit", "a.equipment.yaml:2 dig-kit"],
    ["a.cleanings.yaml", "boots/mo", "season.yaml:6 mo"],
    ["a.cleanings.yaml", "mo]", "season.yaml:6 mo"],
    ["a.cleanings.yaml", "mo, steps", "season.yaml:6 mo"],
    ["a.samples.yaml", "v1", "a.visits.yaml:2 v1"],
    ["a.samples.yaml", "d1", "a.visits.yaml:12 d1"],
    ["a.samples.yaml", "plains-lab", "season.yaml:8 plains-lab"],
    ["a.equipment.yaml", "alder-bench", "season.yaml:4 alder-bench"],
    ["a.fields.yaml", "long-meadow", "a.fields.yaml:2 long-meadow"],
  ];
  for (const [file, at, expected] of cases) {
    it(`of ${at.split("\n")[0]!} in ${file}`, () => assert.equal(definitionAt(file, at), expected));
  }

  it("shows the whole record and the id in it", () => {
    const { context, offset } = cursorIn("a.samples.yaml", "d1");
    const link = definition(context, offset)!;
    const { text } = context.book.files.find(({ path }) => path === link.path)!;
    assert.match(text.slice(link.target.start, link.target.end), /^\{ id: d1, place: patch.*\}$/);
    assert.equal(context.file.text.slice(link.origin.start, link.origin.end), "d1");
  });

  it("has none for keys, words, an owner that is no grower, and ids that nobody gives", () => {
    assert.equal(definitionAt("a.visits.yaml", "field: long"), undefined);
    assert.equal(definitionAt("a.visits.yaml", "unprotected"), undefined);
    assert.equal(definitionAt("a.equipment.yaml", "crew"), undefined);
    assert.equal(definitionAt("a.samples.yaml", "v9", BOOK.replace("visit: v1", "visit: v9")), undefined);
  });

  it("works beside a record that is half typed, and with CRLF", () => {
    const broken = BOOK.replace("  - id: v2\n", '  - id: v0\n    field: "long\n    crew: [mo\n  - id: v2\n');
    assert.equal(definitionAt("a.samples.yaml", "v1", broken), "a.visits.yaml:2 v1");
    assert.equal(definitionAt("a.visits.yaml", "v1#p1", broken), "a.visits.yaml:2 v1");
    const { context, offset } = cursorIn("a.samples.yaml", "d1");
    assert.ok(definition(context, offset));
    const crlf = BOOK.replaceAll("\n", "\r\n").replace(/^(#- \S+)\r$/gm, "$1");
    assert.equal(definitionAt("a.samples.yaml", "d1", crlf), "a.visits.yaml:12 d1");
  });
});

describe("references", () => {
  it("of a field: its record, rotation, visits, cleanings and samples", () => {
    assert.deepEqual(referencesAt("a.visits.yaml", "long-meadow"), [
      "a.cleanings.yaml:2 long-meadow",
      "a.fields.yaml:2 long-meadow",
      "a.rotations.yaml:2 long-meadow",
      "a.samples.yaml:2 long-meadow",
      "a.visits.yaml:3 long-meadow",
    ]);
    assert.equal(referencesAt("a.visits.yaml", "long-meadow", false).length, 4);
  });

  it("of a member of the crew: boots, too", () => {
    const expected = ["a.cleanings.yaml:2 mo", "a.cleanings.yaml:2 mo", "a.visits.yaml:6 mo", "a.visits.yaml:17 mo"];
    assert.deepEqual(referencesAt("season.yaml", "mo,", false), expected);
  });

  it("of a patch: not those of the same name in another visit", () => {
    assert.deepEqual(referencesAt("a.visits.yaml", "p1"), [
      "a.visits.yaml:10 p1",
      "a.visits.yaml:12 p1",
      "a.visits.yaml:21 p1",
    ]);
    assert.deepEqual(referencesAt("a.visits.yaml", "p1 }"), ["a.visits.yaml:19 p1", "a.visits.yaml:22 p1"]);
  });

  it("of an entrance: not that of the same name in another field", () => {
    assert.deepEqual(referencesAt("a.visits.yaml", "gate"), ["a.fields.yaml:6 gate", "a.visits.yaml:4 gate"]);
  });

  it("of a visit: samples and patches seen on it", () => {
    const expected = ["a.samples.yaml:2 v1", "a.visits.yaml:2 v1", "a.visits.yaml:21 v1"];
    assert.deepEqual(referencesAt("a.samples.yaml", "v1"), expected);
  });

  it("of an id that nobody gives: where else it is unknown", () => {
    const book = BOOK.replaceAll("field: mill-flat", "field: mil-flat").replace(
      "field: long-meadow, visit",
      "field: mil-flat, visit",
    );
    assert.deepEqual(referencesAt("a.visits.yaml", "mil-flat", true, book), [
      "a.samples.yaml:2 mil-flat",
      "a.visits.yaml:14 mil-flat",
    ]);
  });

  it("of a repeated value: where the repeat is written", () => {
    const book = `#- a.visits.yaml
visits:
  - { id: v1, field: &f long-meadow, arrived: 2026-08-14T09:40 }
  - { id: v2, field: *f, arrived: 2026-08-15T09:40 }
`;
    assert.deepEqual(referencesAt("a.visits.yaml", "long-meadow", false, book), [
      "a.visits.yaml:2 long-meadow",
      "a.visits.yaml:3 *f",
    ]);
  });
});

describe("document highlights", () => {
  it("tell where an id is given and where it is used, in this file alone", () => {
    const { context, offset } = cursorIn("a.visits.yaml", "p1");
    const shownOnes = documentHighlights(context, offset).map(
      ({ span, kind }) => `${shown(context, context.file.path, span)} ${kind}`,
    );
    assert.deepEqual(shownOnes, [
      "a.visits.yaml:10 p1 definition",
      "a.visits.yaml:12 p1 use",
      "a.visits.yaml:21 p1 use",
    ]);
  });

  it("are none on what is no id", () => {
    const { context, offset } = cursorIn("a.visits.yaml", "2026-08-14");
    assert.deepEqual(documentHighlights(context, offset), []);
  });
});

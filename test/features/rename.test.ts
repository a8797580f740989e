import { strict as assert } from "node:assert";
import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import fc from "fast-check";
import { applyEdits } from "../../server/src/base/text.ts";
import { contextOf } from "../../server/src/features/context.ts";
import { prepareRename, rename, type RenameRefusal } from "../../server/src/features/rename.ts";
import { fileKind } from "../../server/src/schema/kinds.ts";
import { makeBook } from "../bench/make-book.mjs";
import { findingsOf, openFixture } from "../support/check.ts";
import { atCursor } from "../support/feature.ts";
import type { Fixture } from "../support/fixture.ts";

/** The files after a rename at the cursor, those that change alone. */
function renamed(source: string, newId: string): Record<string, string> {
  const { context, offset } = atCursor(source);
  const edit = rename(context, offset, newId);
  assert.ok(!("problem" in edit), "problem" in edit ? edit.problem : "");
  return Object.fromEntries(
    [...edit].map(([path, edits]) => [path, applyEdits(context.book.files.find((f) => f.path === path)!.text, edits)]),
  );
}

function refusal(source: string, newId: string): string {
  const { context, offset } = atCursor(source);
  const edit = rename(context, offset, newId);
  assert.ok("problem" in edit, "the rename was not refused");
  return (edit as RenameRefusal).problem;
}

const VISITS = `#- a.visits.yaml
visits:
  # mo walked v1, where p1 is
  - id: v1
    field: long-meadow
    arrived: 2026-08-14T09:40
    crew: [mo, "ines"]   # mo first
    equipment: ['dig-kit']
    note: v1 of mo with the dig-kit
    patches:
      - { id: $0p1, symptom: ripening early }
    digs:
      - { id: d1, place: patch, patch: p1, plants: 10, ratings: [10, 0, 0, 0] }
  - id: v2
    field: long-meadow
    arrived: 2026-08-15T09:40
    crew: [mo]
    digs:
      - { id: d1, place: patch, patch: 'v1#p1', plants: 10, ratings: [10, 0, 0, 0] }
#- a.cleanings.yaml
cleanings:
  - { id: c1, at: 2026-08-14T12:00, equipment: [dig-kit, boots/mo, "boots/ines"], by: mo, steps: [{ step: wash }] }
`;
const withCursor = (before: string): string => {
  const bare = VISITS.replace("$0", "");
  assert.ok(bare.includes(before), before);
  return bare.replace(before, `$0${before}`);
};

describe("rename", () => {
  it("of a patch, with its uses on later visits", () => {
    const files = renamed(VISITS, "gate-patch");
    assert.deepEqual(Object.keys(files), ["a.visits.yaml"]);
    const text = files["a.visits.yaml"]!;
    assert.match(text, /\{ id: gate-patch, symptom/);
    assert.match(text, /patch: gate-patch, plants/);
    assert.match(text, /patch: 'v1#gate-patch'/);
    assert.match(text, /# mo walked v1, where p1 is/);
  });

  it("of a visit leaves the patch after the # alone", () => {
    const text = renamed(withCursor("v1#p1"), "first")["a.visits.yaml"]!;
    assert.match(text, /- id: first\n/);
    assert.match(text, /'first#p1'/);
    assert.match(text, /note: v1 of mo/);
  });

  it("of a member of the crew reaches season.yaml, boots and the by of a clean-down; quotes stay", () => {
    const files = renamed(withCursor('"ines"').replace('$0"ines', '"$0ines'), "iv");
    assert.deepEqual(Object.keys(files), ["a.cleanings.yaml", "a.visits.yaml", "season.yaml"]);
    assert.match(files["a.visits.yaml"]!, /crew: \[mo, "iv"\] {3}# mo first/);
    assert.match(files["a.cleanings.yaml"]!, /boots\/mo, "boots\/iv"\]/);
    assert.match(files["season.yaml"]!, /\{ id: iv, name: I\. Vale \}/);
    const mo = renamed(withCursor("mo, steps"), "m-2");
    assert.match(mo["a.cleanings.yaml"]!, /boots\/m-2, "boots\/ines"\], by: m-2,/);
  });

  it("of a grower takes the owner of machines along", () => {
    const source =
      withCursor("field: long-meadow").replace("$0", "") +
      "#- season.yaml\nseason: 2026\ngrowers: [{ id: $0crew-farm }]\n" +
      "#- a.equipment.yaml\nequipment:\n  - { id: dig-kit, kind: hand tools, owner: crew-farm }\n  - { id: e2, kind: truck, owner: other }\n";
    assert.match(renamed(source, "new-farm")["a.equipment.yaml"]!, /owner: new-farm.*\n.*owner: other/);
  });

  it("puts an id in quotes that would else be read as a number, and writes escapes out", () => {
    assert.match(renamed(withCursor("v1\n"), "12")["a.visits.yaml"]!, /- id: '12'\n[^]*patch: '12#p1'/);
    assert.match(renamed(withCursor("dig-kit'"), "7")["a.visits.yaml"]!, /equipment: \['7'\]/);
    const escaped = VISITS.replace("$0", "").replace("'v1#p1'", '"$0v\\u0031#p1"');
    assert.match(renamed(escaped, "w1")["a.visits.yaml"]!, /patch: "w1#p1"/);
  });

  it("of a repeated value writes it once", () => {
    const source = `#- a.visits.yaml
visits:
  - { id: v1, field: &f $0long-meadow, crew: &c [mo], arrived: 2026-08-14T09:40 }
  - { id: v2, field: *f, crew: *c, arrived: 2026-08-15T09:40 }
  - { id: v3, field: &n mill-flat, crew: *c, arrived: 2026-08-16T09:40 }
`;
    const text = renamed(source, "lm")["a.visits.yaml"]!;
    assert.match(text, /field: &f lm, crew: &c \[mo\][^]*field: \*f, crew: \*c/);
    const crew = renamed(source.replace("$0", "").replace("[mo]", "[$0mo]"), "m-2")["a.visits.yaml"]!;
    assert.equal(crew, source.replace("$0", "").split("\n").slice(1).join("\n").replace("[mo]", "[m-2]"));
  });

  it("keeps CRLF and characters beyond the BMP", () => {
    const source = VISITS.replace("# mo first", "# 🌱 mo first")
      .replaceAll("\n", "\r\n")
      .replace(/^(#- \S+)\r$/gm, "$1");
    const text = renamed(source, "q")["a.visits.yaml"]!;
    const before = source.split("#- a.visits.yaml\n")[1]!.split("\n#-")[0]!.replace("$0", "");
    assert.equal(text.replaceAll(/(?<=id: |patch: |v1#)q\b/g, "p1"), before);
  });

  it("of a later one of two records with the same id renames that one alone", () => {
    const source = `#- a.visits.yaml
visits:
  - { id: v1, field: long-meadow, arrived: 2026-08-14T09:40 }
  - { id: $0v1, field: mill-flat, arrived: 2026-08-15T09:40 }
#- a.samples.yaml
samples:
  - { id: s1, field: long-meadow, visit: v1, taken: 2026-08-14 }
`;
    const files = renamed(source, "v2");
    assert.deepEqual(Object.keys(files), ["a.visits.yaml"]);
    assert.match(files["a.visits.yaml"]!, /id: v1, field: long[^]*id: v2, field: mill/);
  });

  it("works beside a record that is half typed", () => {
    const broken = VISITS.replace("  - id: v2\n", '  - id: v9\n    field: "lo\n    crew: [\n  - id: v2\n');
    assert.match(renamed(broken, "q")["a.visits.yaml"]!, /'v1#q'/);
  });

  it("to the same id changes nothing", () => assert.deepEqual(renamed(VISITS, " p1 "), {}));

  it("says in a sentence why not", () => {
    assert.match(refusal(VISITS, "Gate Patch"), /small letters.*"gate-patch" would do$/);
    assert.match(refusal(VISITS, "  "), /cannot be empty/);
    assert.match(refusal(VISITS, "ü#"), /"u" would do/);
    assert.match(refusal(VISITS, "???"), /a letter or a digit$/);
    assert.match(refusal(VISITS, "a".repeat(5000)), /too long/);
    assert.match(refusal(withCursor("v1\n"), "v2"), /already a visit "v2" in a\.visits\.yaml; choose/);
  });

  it("refuses what another has, kind by kind", () => {
    const patches = VISITS.replace("patches:\n", "patches:\n      - { id: p2 }\n");
    assert.match(refusal(patches, "p2"), /already a patch "p2" in v1, in a\.visits\.yaml/);
    assert.match(refusal(withCursor('mo, "ines'), "ines"), /already a member of the crew "ines" in season\.yaml/);
    assert.match(refusal(withCursor("dig-kit'"), "boots/mo"), /boots of a person/);
    assert.match(refusal(withCursor("long-meadow"), "mill-flat"), /already a field/);
    // A free name in one kind is no obstacle in another.
    assert.ok(renamed(withCursor("dig-kit'"), "mill-flat"));
  });

  it("is offered on ids alone, and on those that the book defines", () => {
    const { context, offset } = atCursor(VISITS);
    const { start } = { start: offset };
    assert.deepEqual(prepareRename(context, offset), { span: { start, end: start + 2 }, id: "p1" });
    const boots = atCursor(withCursor("boots/mo"));
    assert.deepEqual(prepareRename(boots.context, boots.offset), {
      span: { start: boots.offset + 6, end: boots.offset + 8 },
      id: "mo",
    });
    for (const place of ["note: v1", "ripening", "2026-08-14T09", "10, ratings"]) {
      const { context, offset } = atCursor(withCursor(place));
      assert.match((prepareRename(context, offset) as RenameRefusal).problem, /only ids/, place);
    }
    const unknown = atCursor(VISITS.replace("$0", "").replace("equipment: ['dig-kit']", "equipment: [$0spade]"));
    assert.match(
      (prepareRename(unknown.context, unknown.offset) as RenameRefusal).problem,
      /no piece of equipment "spade" yet/,
    );
  });
});

const SAMPLE = fileURLToPath(new URL("../../sample-workspace/", import.meta.url));

function sampleBook(): Map<string, string> {
  const paths = readdirSync(SAMPLE, { recursive: true, encoding: "utf8" }).map((path) => path.replaceAll("\\", "/"));
  return new Map(
    paths.filter((path) => /\.(yaml|csv)$/.test(path)).map((path) => [path, readFileSync(SAMPLE + path, "utf8")]),
  );
}

function fixtureOf(files: ReadonlyMap<string, string>): Fixture {
  return { files, asOf: "2026-11-25", today: "2026-11-25", allSeasons: true, marks: [], cursor: undefined };
}

/**
 * Findings without what moves with the length of an id: columns, and the order of findings on one line. An id that was given
 * twice is mended by giving one of the two another: that finding may go.
 */
function told(files: ReadonlyMap<string, string>, back: (text: string) => string = (text) => text): string[] {
  return findingsOf(fixtureOf(files))
    .filter(({ code }) => code !== "structure/duplicate-id")
    .map(({ code, level, file, range, message, record, related }) => {
      const links = related.map((one) => `${one.file}:${one.range.start.line} ${one.message}`);
      // Which id an unknown one was likely meant to be depends on how those that there are look.
      const words = code === "structure/unknown-id" ? message.split(";")[0] : message;
      return back(JSON.stringify([code, level, file, range.start.line, range.end.line, words, record, links]));
    })
    .sort();
}

/** The offsets of every plain id that follows a key of ids; found without the code that is tested. */
function idOffsets(text: string): number[] {
  const keys =
    /\b(?:id|field|grower|entrance|visit|dig|patch|lab|by|owner): (?=[a-z0-9])|\b(?:crew|equipment): \[(?=[a-z0-9])|boots\/(?=[a-z])/g;
  return [...text.matchAll(keys)].map((match) => match.index + match[0].length);
}

/**
 * Put behind an id. No id of any book ends like this, so that the text tells where the new one stands; and the new id has
 * the old one's place in the order of ids, which decides between two chains of equal length.
 */
const MORE = "-zz.renamed_0/x";

const back = (text: string): string => text.replaceAll(MORE, "");

function holdsForAnyId(files: ReadonlyMap<string, string>, numRuns: number): void {
  const opened = openFixture(fixtureOf(files));
  const before = told(files);
  const places = [...files].flatMap(([path, text]) => idOffsets(text).map((offset) => ({ path, offset })));
  // As often in a file of few ids as in one of many.
  const kinds = ["season", "fields", "equipment", "rotations", "visits", "cleanings", "samples"];
  const byKind = kinds.map((kind) => places.filter(({ path }) => fileKind(path) === kind));
  assert.ok(byKind.every((some) => some.length > 0));
  const anyPlace = fc.oneof(...byKind.map((some) => fc.constantFrom(...some)));
  fc.assert(
    fc.property(anyPlace, ({ path, offset }) => {
      const context = contextOf(opened, path)!;
      const prepared = prepareRename(context, offset);
      if ("problem" in prepared) {
        // The owner of a machine need not be a grower; one visit of the sample mistypes its field, and so has no entrance.
        const [before, after] = [
          context.file.text.slice(offset - 40, offset),
          context.file.text.slice(offset, offset + 40),
        ];
        assert.ok(before.endsWith("owner: ") || `${before}${after}`.includes("field: west-eigthy\n"), before + after);
        return;
      }
      const edit = rename(context, offset, prepared.id + MORE);
      assert.ok(!("problem" in edit) && edit.size > 0);
      const after = new Map(files);
      for (const [file, edits] of edit) after.set(file, applyEdits(files.get(file)!, edits));
      for (const [file, text] of after) assert.equal(back(text), files.get(file), file);
      assert.ok(after.get(path)!.includes(prepared.id + MORE));
      assert.deepEqual(told(after, back), before);
    }),
    { numRuns },
  );
}

describe("renaming any id of a book", () => {
  it("of the sample season changes the ids and nothing else, and leaves its findings", () => {
    holdsForAnyId(sampleBook(), 150);
  });

  it("of generated books, too", () => {
    for (const seed of [1, 2]) {
      const book = makeBook({
        fields: 14,
        years: 2,
        visits: 5,
        known: 0.2,
        seed,
        files: seed === 1 ? "month" : "year",
      });
      holdsForAnyId(book, 60);
    }
  });
});

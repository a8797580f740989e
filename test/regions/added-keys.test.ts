import { strict as assert } from "node:assert";
import { completionsAt } from "../../server/src/features/completion.ts";
import { hover } from "../../server/src/features/hover.ts";
import { check, findingsOf } from "../support/check.ts";
import { atCursor } from "../support/feature.ts";
import { parseFixture } from "../support/fixture.ts";

/** A book whose region adds keys to its records; `rest` is what the pack says besides. */
function withPack(records: string, files: string, rest = ""): string {
  return `#! as-of: 2026-08-20
#- season.yaml
season: 2026
region: made-up.region.yaml
crew: [{ id: mo, name: M. Okafor }]
#- made-up.region.yaml
region: made-up
title: Made up
extends: ca-prairies
${rest}records:
${records.replace(/^(?=.)/gm, "  ")}
${files}`;
}

const FIELDS = `fields:
  required: [municipality]
  properties:
    municipality: { title: Municipality, description: The rural municipality., type: string, pattern: "^RM [0-9]{3}$", examples: [RM 157] }
    soil: { properties: { organic_percent: { type: number, minimum: 0, maximum: 100 } } }
visits:
  properties:
    purpose: { enum: [soil survey], x-enumDescriptions: [A survey of the soil.] }
    permit:
      title: Permit
      type: object
      required: [number]
      properties: { number: { type: integer, minimum: 1 }, issued: { format: date } }
    digs: { items: { properties: { depth_cm: { type: number, x-unit: cm } } } }
`;
const CLOCK = { today: "2026-08-20", now: "2026-08-20T10:00" };
const PLAIN = `#- a.fields.yaml
fields: [{ id: long-meadow, municipality: RM 157 }]
`;
const VISIT = `visits:
  - id: v1
    field: long-meadow
    arrived: 2026-08-14T09:40
    left: 2026-08-14T10:40
    purpose: soil survey
    ground: dry
`;

describe("keys that a region adds", () => {
  it("are taken in every book of the region, and asked for where they are required", () => {
    check(
      withPack(
        FIELDS,
        `${PLAIN}#- a.visits.yaml\n${VISIT}    permit: { number: 12, issued: 2026-05-01, note: by post }\n`,
      ),
    );
    check(
      withPack(
        FIELDS,
        `#- a.fields.yaml
fields:
  - id: long-meadow
  # ^^ error structure/schema: "municipality" (the rural municipality) is missing from a field; write for example "municipality: RM 157"
    soil: { organic_percent: 120 }
    #                        ^^^ error structure/schema: "organic_percent" is 120; it must be from 0 to 100
  - id: mill-flat
    municipality: RM12
    #             ^^^^ error structure/schema: "municipality" must be written like RM 157, not "RM12"
  - id: east-rise
    municipality: RM 158
    municipalty: RM 158
#   ^^^^^^^^^^^ error structure/unknown-key: did you mean "municipality"? [fix]
`,
      ),
    );
  });

  it("are held to their types, ranges, dates and words, like keys of the format", () => {
    check(
      withPack(
        FIELDS,
        `${PLAIN}#- a.visits.yaml
visits:
  - id: v1
    field: long-meadow
    arrived: 2026-08-14T09:40
    left: 2026-08-14T10:40
    purpose: soil surveys
    #        ^^^^^^^^^^^^ error structure/schema: "purpose" cannot be "soil surveys"; did you mean "soil survey"? [fix]
    permit: { number: 0, issued: 2026-02-30, holder: mo }
    #                 ^ error structure/schema: "number" is 0; it must be 1 or more
    #                            ^^^^^^^^^^ error structure/schema: "issued" is 2026-02-30, which is not a day of the calendar
    #                                        ^^^^^^ error structure/unknown-key: "holder" is not a key of
    digs:
      - { id: d1, place: entrance, plants: 1, ratings: [1, 0, 0, 0], depth_cm: deep }
      #                                                                        ^^^^ error structure/schema: "depth_cm" must be a number, not "deep"
`,
      ),
      { only: (code) => code.startsWith("structure/") },
    );
  });

  it("are unknown to a book of another region", () => {
    const found = findingsOf(parseFixture(`#- a.visits.yaml\n${VISIT}    permit: { number: 1 }\n`));
    assert.deepEqual(
      found.filter(({ code }) => code.startsWith("structure/")).map(({ code, place }) => `${code} ${place}`),
      ["structure/schema purpose", "structure/unknown-key permit"],
    );
  });

  it("are proposed with their words, and explained", () => {
    const at = (line: string) => atCursor(withPack(FIELDS, `${PLAIN}#- a.visits.yaml\n${VISIT}${line}\n`));
    const labels = (line: string): string[] => {
      const { context, offset } = at(line);
      return completionsAt(context, offset, CLOCK).map(({ label }) => label);
    };
    assert.ok(labels("    $0").includes("permit"));
    assert.deepEqual(labels("    permit: { $0 }"), ["number", "issued", "note"]);
    assert.ok(labels("    digs:\n      - id: d1\n        $0").includes("depth_cm"));
    const hovered = (line: string): string => {
      const { context, offset } = at(line);
      return hover(context, offset)?.markdown ?? "";
    };
    assert.match(hovered("    per$0mit: { number: 1 }"), /^\*\*Permit\*\*/);
    assert.match(hovered("    digs: [{ depth_cm$0: 12 }]"), /^\*\*depth\\_cm\*\* \(cm\)/);
    const begun = atCursor(withPack(FIELDS, "#- a.fields.yaml\nfields:\n  $0\n"));
    const [field] = completionsAt(begun.context, begun.offset, CLOCK);
    assert.match(field!.insertText, /grower: .*\n.*municipality: /);
    const { context, offset } = atCursor(
      withPack(FIELDS, `${PLAIN}#- a.visits.yaml\n${VISIT.replace("soil survey", "soil$0 survey")}`),
    );
    assert.match(hover(context, offset)!.markdown, /A survey of the soil\./);
  });

  it("narrow what a key of the format may be, and never widen it", () => {
    const narrow =
      "fields: { properties: { area_ha: { type: integer, maximum: 100, minimum: -5 }, soil: { required: [ph] } } }";
    check(
      withPack(
        narrow,
        `#- a.fields.yaml
fields:
  - id: oak
    area_ha: 62.5
    #        ^^^^ error structure/schema: "area_ha" must be a whole number
    soil: { ph: 6 }
  - id: elm
    area_ha: 101
    #        ^^^ error structure/schema: "area_ha" is 101; it must be
    soil: { texture: clay }
#   ^^^^ error structure/schema: "ph" (the soil's pH) is missing from a field's soil
  - id: ash
    area_ha: -1
    #        ^^ error structure/schema: "area_ha"
`,
      ),
    );
  });

  it("add up over the packs of a chain, the parents' required keys with the child's", () => {
    check(
      `#- season.yaml
season: 2026
region: county.region.yaml
#- county.region.yaml
region: county
extends: province.region.yaml
records: { fields: { required: [parcel], properties: { parcel: { type: string } } } }
#- province.region.yaml
region: province
extends: base
records: { fields: { required: [zone], properties: { zone: { type: string, enum: [north] } } } }
#- a.fields.yaml
fields:
  - id: long-meadow
  # ^^ error structure/schema: "zone" and "parcel" are missing from a field
`,
    );
  });
});

describe("what a region pack may not add", () => {
  const problems = (records: string): string[] =>
    findingsOf(parseFixture(withPack(records, "")))
      .filter(({ file }) => file === "made-up.region.yaml")
      .map(({ code, place, message }) => `${code} ${place}: ${message}`);

  for (const [what, records, expected] of [
    [
      "a reference",
      "visits: { properties: { permit: { $ref: 'https://x.example/permit.json' } } }",
      /"\$ref" would lead out of this pack/,
    ],
    [
      "a word of JSON Schema outside the subset",
      "visits: { properties: { permit: { oneOf: [] } } }",
      /"oneOf" is not a word by which/,
    ],
    [
      "a mistyped word",
      "visits: { properties: { permit: { type: string, maxlength: 3 } } }",
      /did you mean "maxLength"\?/,
    ],
    ["an unknown type", "visits: { properties: { permit: { type: text } } }", /"type" must be one of string, integer/],
    [
      "another type for a key of the format",
      "visits: { properties: { ground: { type: number } } }",
      /visits have this key already, and it holds a text, not a number/,
    ],
    [
      "a required key that is none",
      "visits: { required: [permitt], properties: { permit: { type: string } } }",
      /"permitt" is required, but is no key here; did you mean "permit"\?/,
    ],
    [
      "a pattern that looks back",
      "visits: { properties: { permit: { pattern: '(a)\\1' } } }",
      /this pattern looks ahead or back/,
    ],
    ["a pattern that is none", "visits: { properties: { permit: { pattern: '[' } } }", /this pattern cannot be read/],
    [
      "a huge pattern",
      `visits: { properties: { permit: { pattern: '${"a".repeat(300)}' } } }`,
      /this pattern is 300 characters long/,
    ],
    [
      "a pattern that repeats without end",
      "visits: { properties: { permit: { pattern: '(.{500}){2}' } } }",
      /this pattern repeats too much/,
    ],
    [
      "keys that every object has",
      "visits: { properties: { __proto__: { type: string } } }",
      /"__proto__" cannot be the name of a key/,
    ],
    [
      "keys that every object has, in another way",
      "visits: { properties: { constructor: { type: string } } }",
      /"constructor" cannot be the name of a key/,
    ],
    ["words that are no texts", "visits: { properties: { permit: { title: 5 } } }", /"title" must be a text, not 5/],
    [
      "a description that is none",
      "visits: { properties: { permit: string } }",
      /what a key holds is described by a group of words/,
    ],
    ["a kind that is none", "visit: { properties: {} }", /did you mean "visits"\?/],
  ] as const)
    it(`is ${what}, told at its place`, () => {
      const found = problems(records);
      assert.equal(found.length, 1, found.join("\n"));
      assert.match(found[0]!, expected);
    });

  it("is without end: too many keys, too deep", () => {
    const many = Array.from({ length: 900 }, (_, i) => `k${i}: {}`).join(", ");
    assert.match(problems(`visits: { properties: { ${many} } }`).join("\n"), /at most 500 keys/);
    const deep = `${"a: { properties: { ".repeat(30)}${" } }".repeat(30)}`;
    assert.match(problems(`visits: { properties: { ${deep} } }`).join("\n"), /8 within one another/);
  });

  it("leaves the rest of what it adds in force", () => {
    const found = findingsOf(
      parseFixture(
        withPack(
          "visits: { properties: { permit: { $ref: x }, county: { type: string } } }",
          `#- a.visits.yaml\n${VISIT.replace("soil survey", "other")}    county: 5\n    permit: any\n`,
        ),
      ),
    );
    assert.deepEqual(
      found
        .filter(({ code }) => code !== "structure/unknown-id")
        .map(({ file, code, place }) => `${file} ${code} ${place}`),
      ["made-up.region.yaml structure/schema records/visits/properties/permit/$ref"],
    );
  });
});

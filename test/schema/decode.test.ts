import { strict as assert } from "node:assert";
import { decodeRecord, decodeRegion, decodeSeason, type SchemaProblem } from "../../server/src/schema/decode.ts";
import { isRecordKind, type SchemaKind } from "../../server/src/schema/kinds.ts";
import { parseText } from "../../server/src/syntax/parse.ts";

function decode(kind: SchemaKind, text: string): { value: unknown; problems: readonly SchemaProblem[] } {
  const root = parseText(text).root;
  if (kind === "season") return decodeSeason(root);
  if (kind === "region") return decodeRegion(root);
  assert.ok(root && isRecordKind(kind));
  return decodeRecord(kind, root);
}

/** A problem in one line: where, what, and what to write instead. */
function line({ code, pointer, part, message, suggestion }: SchemaProblem): string {
  const where = `${pointer.join("/")}${part === "key" ? " (key)" : ""}`;
  return `${code === "structure/schema" ? "" : "unknown "}${where}: ${message}${suggestion === undefined ? "" : ` => ${suggestion}`}`;
}

const VISIT = "id: v1\nfield: a\narrived: 2026-08-14T09:40\npurpose: scouting\n";
const FIELD = "id: a\n";
const SAMPLE = "id: s1\nfield: a\nmaterial: roots\ntaken: 2026-08-14\n";

/** What is written, and every word that is said of it. */
const GALLERY: [string, SchemaKind, string, string[]][] = [
  [
    "a mistyped key, and what it was to give",
    "visits",
    "id: v1\nfield: a\narived: 2026-08-14T09:40\npurpose: scouting",
    ['unknown arived (key): "arived" is not a key of a visit; did you mean "arrived"? => arrived'],
  ],
  [
    "a key with a space and a capital",
    "visits",
    VISIT + "Re-entry hours: 12",
    [
      'unknown Re-entry hours (key): "Re-entry hours" is not a key of a visit; did you mean "re_entry_hours"? => re_entry_hours',
    ],
  ],
  [
    "a key that is nothing like any",
    "visits",
    VISIT + "weather: hot",
    [
      'unknown weather (key): "weather" is not a key of a visit; take it out, or begin it with "x-" if it is a key of your own',
    ],
  ],
  [
    "a key one level too high",
    "fields",
    FIELD + "ph: 6.4",
    ['unknown ph (key): "ph" is not a key of a field; it belongs under "soil"'],
  ],
  [
    "keys that every object of JavaScript has",
    "fields",
    FIELD + "constructor: 1\n__proto__: { polluted: true }",
    [
      'unknown constructor (key): "constructor" is not a key of a field; take it out, or begin it with "x-" if it is a key of your own',
      'unknown __proto__ (key): "__proto__" is not a key of a field; take it out, or begin it with "x-" if it is a key of your own',
    ],
  ],
  [
    "a list for a key",
    "fields",
    FIELD + "? [b]\n: c",
    ["unknown  (key): a list or a map cannot be a key of a field; write one word before the colon"],
  ],
  [
    "a mistyped word",
    "visits",
    VISIT.replace("scouting", "scoutng"),
    ['purpose: "purpose" cannot be "scoutng"; did you mean "scouting"? => scouting'],
  ],
  [
    "a word in capitals",
    "samples",
    SAMPLE + "packed: Paper Bag",
    ['packed: "packed" cannot be "Paper Bag"; did you mean "paper bag"? => paper bag'],
  ],
  [
    "a word that is none of the list",
    "visits",
    VISIT + "ground: damp",
    ['ground: "ground" cannot be "damp"; choose dry, moist or wet'],
  ],
  [
    "a missing key",
    "visits",
    "id: v1\nfield: a\narrived: 2026-08-14T09:40",
    [' (key): "purpose" (what the visit was for) is missing from a visit; write for example "purpose: scouting"'],
  ],
  [
    "two missing keys, inside a list",
    "visits",
    VISIT + "digs:\n  - { plants: 20 }",
    ['digs/0 (key): "id" and "place" are missing from a dig; write for example "id: d1" and "place: entrance"'],
  ],
  [
    "an empty value",
    "visits",
    VISIT.replace("scouting", ""),
    ['purpose: "purpose" is empty; write scouting, seeding, spraying, swathing, harvest, soil work or other'],
  ],
  [
    "an empty value that need not be there",
    "fields",
    FIELD + "area_ha:",
    ['area_ha: "area_ha" is empty; write a number of 0 or more, such as 62.4, or take the key out'],
  ],
  [
    "an empty reference",
    "visits",
    VISIT.replace("field: a", 'field: ""'),
    ['field: "field" is empty; write the id of a field, such as long-meadow'],
  ],
  [
    "an id with capitals and a space",
    "fields",
    "id: Long Meadow",
    [
      'id: "id" cannot be "Long Meadow": an id has small letters, digits and . _ / - only, and begins with a letter or digit; did you mean "long-meadow"? => long-meadow',
    ],
  ],
  [
    "a day that no calendar has",
    "samples",
    SAMPLE.replace("2026-08-14", "2026-02-30"),
    ['taken: "taken" is 2026-02-30, which is not a day of the calendar'],
  ],
  [
    "a date with slashes",
    "samples",
    SAMPLE + "sent: 2026/8/4",
    ['sent: "sent" must be a date, written YYYY-MM-DD, not "2026/8/4"; did you mean "2026-08-04"? => 2026-08-04'],
  ],
  [
    "a date that could be read two ways",
    "samples",
    SAMPLE + "sent: 04.08.2026",
    ['sent: "sent" must be a date, written YYYY-MM-DD, not "04.08.2026"'],
  ],
  [
    "a time with a space and seconds",
    "visits",
    VISIT + "left: 2026-08-14 9:40:00",
    [
      'left: "left" must be a day and a time, written YYYY-MM-DDTHH:MM, not "2026-08-14 9:40:00"; did you mean "2026-08-14T09:40"? => 2026-08-14T09:40',
    ],
  ],
  [
    "a day without its time",
    "visits",
    VISIT + "left: 2026-08-14",
    ['left: "left" needs the time of day too, such as 2026-08-14T09:40'],
  ],
  [
    "an hour that no clock has",
    "visits",
    VISIT + "left: 2026-08-14T24:00",
    ['left: "left" is 2026-08-14T24:00, which is not a day and time of the calendar'],
  ],
  ["a number out of range", "visits", VISIT + "stage: 120", ['stage: "stage" is 120; it must be from 0 to 99']],
  [
    "half a plant",
    "visits",
    VISIT + "digs: [{ id: d1, place: other, plants: 12.5 }]",
    ['digs/0/plants: "plants" must be a whole number of 1 or more, not 12.5'],
  ],
  [
    "a number in quotes",
    "visits",
    VISIT + 'stage: "83"',
    ['stage: "stage" must be a whole number from 0 to 99, not "83"; did you mean 83? => 83'],
  ],
  [
    "a number with its unit and a comma",
    "fields",
    FIELD + "area_ha: 62,4 ha",
    ['area_ha: "area_ha" must be a number of 0 or more, not "62,4 ha"; did you mean 62.4? => 62.4'],
  ],
  ["not a number", "fields", FIELD + "area_ha: .nan", ['area_ha: "area_ha" must be a number of 0 or more, not .nan']],
  [
    "yes for true",
    "equipment",
    "id: a\nkind: other\ntouches_soil: yes",
    ['touches_soil: "touches_soil" must be true or false, not "yes"; did you mean true? => true'],
  ],
  [
    "one name where a list stands",
    "visits",
    VISIT + "crew: mo",
    ['crew: "crew" must be a list such as [mo], not "mo"; did you mean [mo]? => [mo]'],
  ],
  [
    "a gap in a list",
    "visits",
    VISIT + "crew: [mo, ~, jl]",
    ['crew/1: item 2 of "crew" is empty; write the id of a member of the crew, such as mo'],
  ],
  [
    "a list in a list",
    "visits",
    VISIT + "crew: [mo, [jl]]",
    ['crew/1: item 2 of "crew" must be the id of a member of the crew, not a list'],
  ],
  [
    "text where keys stand",
    "fields",
    FIELD + "soil: clay loam",
    ['soil: "soil" must be a group of keys such as { ph: 6.4, texture: clay loam, drainage: poor }, not "clay loam"'],
  ],
  [
    "three ratings",
    "visits",
    VISIT + "digs: [{ id: d1, place: other, plants: 6, ratings: [1, 2, 3] }]",
    ['digs/0/ratings: "ratings" has 3 items; it must be four whole numbers: the plants rated 0, 1, 2 and 3'],
  ],
  [
    "a rating below none",
    "visits",
    VISIT + "digs: [{ id: d1, place: other, plants: 6, ratings: [7, -1, 0, 0] }]",
    ['digs/0/ratings/1: item 2 of "ratings" is -1; it must be 0 or more'],
  ],
  [
    "latitude first",
    "fields",
    FIELD + "entrances: [{ id: n, position: [50.4, -104.6] }]",
    [
      'entrances/0/position/1: the latitude of "position" is -104.6; it must be a number from -90 to 90, after the longitude',
    ],
  ],
  [
    "a point for a boundary",
    "fields",
    FIELD + "boundary: { type: Point, coordinates: [-104.6, 50.4] }",
    ['boundary/type: "type" cannot be "Point"; choose Polygon or MultiPolygon'],
  ],
  [
    "a boundary that is a list",
    "fields",
    FIELD + "boundary: [[-104.6, 50.4]]",
    ['boundary: "boundary" must be a Polygon, a MultiPolygon, or the relative path of a .geojson file, not a list'],
  ],
  [
    "a boundary without corners",
    "fields",
    FIELD + "boundary: { type: Polygon }",
    [
      'boundary (key): "coordinates" (the rings of the outline, as RFC 7946 has them: the outer ring first, each closed by its first corner) is missing from a boundary',
    ],
  ],
  [
    "a Polygon as deep as a MultiPolygon",
    "fields",
    FIELD + "boundary: { type: Polygon, coordinates: [[[[0, 0], [1, 0], [1, 1], [0, 0]]]] }",
    [
      'boundary/coordinates/0: item 1 of "coordinates" has 1 item; it must be a list of four or more positions, the last the same as the first',
    ],
  ],
  [
    "a result without its day",
    "samples",
    SAMPLE + "result: { finding: detected }",
    [
      `result (key): "reported" (the day of the lab's report) is missing from a result; write for example "reported: 2026-08-28"`,
    ],
  ],
  [
    "a share written as a percentage",
    "season",
    "season: 2026\nsampling: { confidence: 95 }",
    [
      'sampling/confidence: "confidence" is 95; it must be a share between 0 and 1, such as 0.95 for 95 %; did you mean 0.95? => 0.95',
    ],
  ],
  [
    "a share near 1 that is too small for a percentage",
    "season",
    "season: 2026\nsampling: { confidence: 1.5 }",
    ['sampling/confidence: "confidence" is 1.5; it must be a share between 0 and 1, such as 0.95 for 95 %'],
  ],
  [
    "shares that their sign says are percentages, and one that is small",
    "season",
    "season: 2026\nsampling: { confidence: 40 %, design_incidence: 1.5 }",
    [
      'sampling/confidence: "confidence" must be a share between 0 and 1, such as 0.95 for 95 %, not "40 %"; did you mean 0.4? => 0.4',
      'sampling/design_incidence: "design_incidence" is 1.5; it must be a share between 0 and 1, such as 0.95 for 95 %; did you mean 0.015? => 0.015',
    ],
  ],
  [
    "a rule without its group",
    "season",
    "season: 2026\nrules: { wet-ground: error }",
    [
      'unknown rules/wet-ground (key): "wet-ground" cannot stand here; the key must be the code of a check, such as entry/wet-ground',
    ],
  ],
  [
    "a level that is none",
    "season",
    "season: 2026\nrules: { entry/wet-ground: warn }",
    ['rules/entry/wet-ground: "entry/wet-ground" cannot be "warn"; choose off, hint, information, warning or error'],
  ],
  [
    "a book from a later time",
    "season",
    "format: 2\nseason: 2026",
    ['format: "format" is 2; it must be 1, the only version of the record format that this Spadework knows'],
  ],
  [
    "nothing in season.yaml",
    "season",
    "# to do",
    [': season.yaml is empty; write its keys, beginning for example with "season: 2026"'],
  ],
  [
    "an empty item",
    "visits",
    "~",
    [
      ': a visit is empty; write its keys after the dash, beginning for example with "id: v-0814-long-meadow", or take the dash out',
    ],
  ],
  [
    "text for a record",
    "visits",
    "walked the long meadow",
    [
      ': a visit must be a group of keys, beginning for example with "id: v-0814-long-meadow", not "walked the long meadow"',
    ],
  ],
  [
    "a figure of a pack as text",
    "region",
    "region: a\nrotation: { break_years: two }",
    ['rotation/break_years: "break_years" must be a whole number of 0 or more, not "two"'],
  ],
  [
    "a growth stage of one digit",
    "region",
    "region: a\ngrowth: { degree_days: { 9: 100 } }",
    ['unknown growth/degree_days/9 (key): "9" cannot stand here; the key must be a BBCH stage from 00 to 99'],
  ],
];

describe("what a keeper reads of a mistake", () => {
  for (const [name, kind, text, expected] of GALLERY) {
    it(name, () => assert.deepEqual(decode(kind, text).problems.map(line), expected));
  }

  it("has no jargon in it", () => {
    for (const [, kind, text] of GALLERY) {
      for (const { message } of decode(kind, text).problems) {
        assert.doesNotMatch(
          message,
          /schema|pars|token|pointer|string|object|array|integer|boolean|null|undefined|enum/i,
        );
      }
    }
  });

  it("is one thing a place, and not without end", () => {
    const many = decode("visits", VISIT + `crew: [${"[],".repeat(1000)}]`);
    assert.equal(many.problems.length, 50);
    assert.equal(new Set(many.problems.map(({ pointer }) => pointer.join())).size, 50);
  });
});

describe("what is read from a record", () => {
  const read = (kind: SchemaKind, text: string): unknown => {
    const { value, problems } = decode(kind, text);
    assert.deepEqual(problems.map(line), []);
    return JSON.parse(JSON.stringify(value));
  };

  it("keeps a text as it was written, whatever YAML makes of it", () => {
    assert.deepEqual(
      read("fields", 'id: 007\nname: 1e3\ngrower: "007"\nnote: yes\nsoil: { texture: 2026-08-04, drainage: 0x1F }'),
      {
        id: "007",
        name: "1e3",
        grower: "007",
        note: "yes",
        soil: { texture: "2026-08-04", drainage: "0x1F" },
      },
    );
  });

  it("takes numbers and truth values as YAML does", () => {
    assert.deepEqual(read("equipment", "id: a\nkind: other\ntouches_soil: False"), {
      id: "a",
      kind: "other",
      touches_soil: false,
    });
    assert.deepEqual(read("visits", VISIT + "stage: 0x53\nre_entry_hours: 1.2e1"), {
      id: "v1",
      field: "a",
      arrived: "2026-08-14T09:40",
      purpose: "scouting",
      stage: 83,
      re_entry_hours: 12,
    });
  });

  it("reads a boundary as a path or as GeoJSON, by what is written", () => {
    assert.deepEqual(read("fields", "id: a\nboundary: boundaries/a.geojson"), {
      id: "a",
      boundary: "boundaries/a.geojson",
    });
    const geometry = {
      type: "Polygon",
      coordinates: [
        [
          [0, 0],
          [1, 0],
          [1, 1, 570],
          [0, 0],
        ],
      ],
    };
    assert.deepEqual(read("fields", `id: a\nboundary: ${JSON.stringify(geometry)}`), { id: "a", boundary: geometry });
  });

  it("follows aliases", () => {
    assert.deepEqual(
      read("cleanings", "id: &x c1\nat: 2026-08-14T11:10\nequipment: [*x]\nsteps:\n  - &s { step: wash }\n  - *s"),
      {
        id: "c1",
        at: "2026-08-14T11:10",
        equipment: ["c1"],
        steps: [{ step: "wash" }, { step: "wash" }],
      },
    );
  });

  it("keeps the keeper's own keys as they are", () => {
    assert.deepEqual(read("fields", "id: a\nx-mine: { b: [1, true, ~], constructor: 2 }"), {
      id: "a",
      "x-mine": { b: [1, true, null], constructor: 2 },
    });
  });

  it("counts the later of two keys of one name, as the places of findings do", () => {
    assert.deepEqual(read("fields", "id: a\nname: b\nname: c"), { id: "a", name: "c" });
  });

  it("leaves out what is broken and keeps the rest in its place", () => {
    const { value } = decode(
      "visits",
      "id: v1\nfield: [a]\narrived: soon\nzzz: 1\ncrew: [mo, [x], jl]\npatches: [p1, { id: p2, area_m2: big, position: [1, x] }]\ndigs:\n  - { id: d1, plants: 20, ratings: [1, 2, x, 4] }\n",
    );
    assert.deepEqual(value, {
      id: "v1",
      crew: ["mo", "", "jl"],
      patches: [{}, { id: "p2" }],
      digs: [{ id: "d1", plants: 20 }],
    });
  });

  it("leaves out a broken boundary whole", () => {
    assert.deepEqual(decode("fields", "id: a\nboundary: { type: Polygon }").value, { id: "a" });
    assert.deepEqual(
      decode("fields", "id: a\nboundary: { type: Polygon, coordinates: [[[0, 0], [1, 0], [1, x], [0, 0]]] }").value,
      { id: "a" },
    );
  });

  it("adds nothing to what every object has", () => {
    decode("season", "season: 2026\nrules: { __proto__: error }\nx-a: { __proto__: { polluted: 1 } }");
    decode(
      "region",
      "region: a\nsources: { __proto__: b }\nrecords: { fields: { properties: { __proto__: { polluted: 1 } } } }",
    );
    assert.equal(({} as Record<string, unknown>)["polluted"], undefined);
  });
});

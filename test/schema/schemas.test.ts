import { strict as assert } from "node:assert";
import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import type { JsonSchema } from "../../server/src/schema/json-schema.ts";
import { RECORD_KINDS, SCHEMA_KINDS, type SchemaKind } from "../../server/src/schema/kinds.ts";
import { outsideValidator, schemaFile, validatorOfFile } from "./outside.ts";

/** Every key of the format's description, with the values given there. */
const RIGHT: Partial<Record<SchemaKind, object>> = {
  season: {
    format: 1,
    season: 2026,
    region: "ca-prairies",
    timezone: "America/Regina",
    growers: [{ id: "alder-bench", name: "Alder Bench Farm", contact: "" }],
    crew: [{ id: "mo", name: "M. Okafor" }],
    labs: [{ id: "plains-lab", name: "Plains Plant Diagnostics", turnaround_days: 21, accepts: ["plastic bag"] }],
    sampling: { confidence: 0.95, design_incidence: 0.02 },
    rules: { "entry/wet-ground": "error", "rotation/missing-year": "off" },
  },
  fields: {
    fields: [
      {
        id: "long-meadow",
        name: "Long Meadow",
        grower: "alder-bench",
        area_ha: 62.4,
        boundary: {
          type: "Polygon",
          coordinates: [
            [
              [-104.61, 50.44],
              [-104.6, 50.44],
              [-104.6, 50.45, 570],
              [-104.61, 50.44],
            ],
          ],
        },
        entrances: [{ id: "north-gate", position: [-104.612, 50.447], usual: true }],
        soil: { ph: 6.4, texture: "clay loam", drainage: "poor" },
        clubroot: { found_on: "2023-09-02", note: "lab result before these records began" },
        notices: [{ on: "2023-09-10", authority: "county office", reference: "" }],
      },
      { id: "a", boundary: "boundaries/a.geojson" },
      {
        id: "b",
        boundary: {
          type: "MultiPolygon",
          coordinates: [
            [
              [
                [0, 0],
                [1, 0],
                [1, 1],
                [0, 0],
              ],
            ],
          ],
        },
      },
    ],
  },
  equipment: {
    equipment: [
      {
        id: "dig-kit",
        kind: "hand tools",
        owner: "crew",
        touches_soil: true,
        acquired: { on: "2026-03-04", from: "auction", place: "another province", cleaned_before_arrival: false },
      },
    ],
  },
  rotations: {
    rotations: [
      {
        field: "long-meadow",
        crops: [
          { year: 2025, crop: "spring wheat", volunteers: "controlled" },
          {
            year: 2026,
            crop: "canola",
            variety: "demo 41 R",
            resistance: { rating: "R", source: "first" },
            seeded: "2026-05-11",
            emerged: "2026-05-20",
            swathed: "2026-08-27",
          },
        ],
      },
    ],
  },
  visits: {
    visits: [
      {
        id: "v-0814-long-meadow",
        field: "long-meadow",
        entrance: "north-gate",
        arrived: "2026-08-14T09:40",
        left: "2026-08-14T11:05",
        purpose: "scouting",
        crew: ["mo"],
        equipment: ["dig-kit"],
        footwear: "disposable",
        ground: "dry",
        stage: 83,
        seed_colour_change_percent: 40,
        re_entry_hours: 12,
        patches: [{ id: "p1", symptom: "ripening early", area_m2: 60, position: [-104.61, 50.445] }],
        digs: [
          {
            id: "d1",
            place: "entrance",
            metres_in: 40,
            plants: 20,
            ratings: [18, 1, 1, 0],
            look_alikes: 1,
            position: [-104.6121, 50.4466],
          },
          { id: "d2", place: "patch", patch: "p1", plants: 10, ratings: [10, 0, 0, 0], note: "wet" },
        ],
      },
    ],
  },
  cleanings: {
    cleanings: [
      {
        id: "c-0814-1",
        at: "2026-08-14T11:10",
        place: "field entrance",
        field: "long-meadow",
        equipment: ["dig-kit", "boots/mo"],
        by: "mo",
        steps: [
          { step: "remove soil" },
          { step: "wash", with: "water" },
          {
            step: "disinfect",
            product: "bleach",
            stock_percent: 5.25,
            stock_l: 2,
            water_l: 8.5,
            strength_percent: 1,
            contact_minutes: 20,
          },
        ],
      },
    ],
  },
  samples: {
    samples: [
      {
        id: "s-0814-1",
        field: "long-meadow",
        visit: "v-0814-long-meadow",
        dig: "d1",
        material: "roots",
        plants: 5,
        taken: "2026-08-14",
        packed: "paper bag",
        lab: "plains-lab",
        sent: "2026-08-15",
        received: "2026-08-18",
        result: { reported: "2026-08-28", finding: "not detected", spores_per_g: 0, pathotype: "" },
      },
    ],
  },
  region: {
    region: "ca-prairies",
    title: "Canadian Prairies",
    extends: "base",
    hosts: ["canola"],
    rotation: { break_years: 2, break_years_after_find: 3 },
    scouting: { opens_days_before_swath: 14, closes_days_after_swath: 7, entrance_reach_m: 100, stage_from: 75 },
    sampling: { confidence: 0.95, design_incidence: 0.02, root_sensitivity: 0.95 },
    cleaning: {
      strength_percent: 1,
      contact_minutes: 15,
      soil_left: { "remove soil": 0.1, wash: 0.1, disinfect: 0.05 },
    },
    trace: { look_back_days: 1095 },
    growth: { base_c: 5, degree_days: { "10": 0 }, days_seed_to_swath: 105 },
    spores: { half_life_years: 3.6, symptoms_from_per_g: 1000 },
    notice: { required: true, within_days: 7, authority: "..." },
    records: { fields: { required: ["municipality"], properties: { municipality: { type: "string" } } } },
    checks: [{ code: "county/permit", on: "visits", level: "warning", when: "true", message: "m", source: "s" }],
    examples: [
      {
        name: "n",
        as_of: "2026-08-20",
        files: { "a.visits.yaml": "visits: []" },
        expect: ["county/permit"],
        never: ["structure/schema"],
      },
    ],
    sources: { "rotation.break_years": "published source, year, page" },
  },
};

const WRONG: [SchemaKind, string, object][] = [
  ["fields", "an id with capitals", { id: "Long-Meadow" }],
  ["fields", "no id", { name: "Long Meadow" }],
  ["fields", "a pH above 14", { id: "a", soil: { ph: 15 } }],
  ["fields", "latitude before longitude", { id: "a", entrances: [{ id: "n", position: [50.4, -104.6] }] }],
  ["fields", "a point for a boundary", { id: "a", boundary: { type: "Point", coordinates: [0, 0] } }],
  [
    "fields",
    "a ring of three corners",
    {
      id: "a",
      boundary: {
        type: "Polygon",
        coordinates: [
          [
            [0, 0],
            [1, 1],
            [0, 0],
          ],
        ],
      },
    },
  ],
  [
    "fields",
    "a MultiPolygon's coordinates in a Polygon",
    {
      id: "a",
      boundary: {
        type: "Polygon",
        coordinates: [
          [
            [
              [0, 0],
              [1, 0],
              [1, 1],
              [0, 0],
            ],
          ],
        ],
      },
    },
  ],
  ["equipment", "no kind", { id: "a" }],
  ["equipment", "a kind that is none", { id: "a", kind: "spaceship" }],
  ["rotations", "a year as text", { field: "a", crops: [{ year: "2026", crop: "canola" }] }],
  [
    "rotations",
    "a rating that is none",
    { field: "a", crops: [{ year: 2026, crop: "canola", resistance: { rating: "RR" } }] },
  ],
  ["visits", "no purpose", { id: "a", field: "a", arrived: "2026-08-14T09:40" }],
  ["visits", "the 13th month", { id: "a", field: "a", arrived: "2026-13-14T09:40", purpose: "scouting" }],
  ["visits", "a time with a zone", { id: "a", field: "a", arrived: "2026-08-14T09:40Z", purpose: "scouting" }],
  [
    "visits",
    "a growth stage of 100",
    { id: "a", field: "a", arrived: "2026-08-14T09:40", purpose: "scouting", stage: 100 },
  ],
  [
    "visits",
    "three ratings",
    {
      id: "a",
      field: "a",
      arrived: "2026-08-14T09:40",
      purpose: "scouting",
      digs: [{ id: "d", place: "other", plants: 6, ratings: [1, 2, 3] }],
    },
  ],
  [
    "visits",
    "a negative rating",
    {
      id: "a",
      field: "a",
      arrived: "2026-08-14T09:40",
      purpose: "scouting",
      digs: [{ id: "d", place: "other", plants: 6, ratings: [7, -1, 0, 0] }],
    },
  ],
  ["cleanings", "a step that is none", { id: "a", at: "2026-08-14T09:40", equipment: [], steps: [{ step: "polish" }] }],
  [
    "cleanings",
    "more than 100 %",
    { id: "a", at: "2026-08-14T09:40", equipment: [], steps: [{ step: "disinfect", strength_percent: 101 }] },
  ],
  ["samples", "30 February", { id: "a", field: "a", material: "soil", taken: "2026-02-30" }],
  [
    "samples",
    "a result without its day",
    { id: "a", field: "a", material: "soil", taken: "2026-02-03", result: { finding: "detected" } },
  ],
];

describe("the schemas, seen from outside", () => {
  it("are JSON Schema 2020-12 and compile in a strict validator", () => {
    for (const kind of SCHEMA_KINDS) {
      const schema = schemaFile(kind);
      assert.equal(schema.$schema, "https://json-schema.org/draft/2020-12/schema");
      assert.equal(schema.$id, `https://spadework.example/schemas/${kind}.schema.json`);
      const ajv = outsideValidator();
      assert.equal(ajv.validateSchema(schema), true, JSON.stringify(ajv.errors));
      ajv.compile(schema);
    }
  });

  it("compile in a validator that knows no formats and no annotations, when it is told not to mind", () => {
    for (const kind of SCHEMA_KINDS) new Ajv2020({ strict: false, logger: false }).compile(schemaFile(kind));
  });

  it("say of every property what it is, in words, with an example", () => {
    let properties = 0;
    for (const kind of SCHEMA_KINDS) {
      eachProperty(schemaFile(kind), (property, path) => {
        properties++;
        const place = `${kind}: ${path}`;
        assert.ok(property.title, `${place} has no title`);
        assert.match(property.description ?? "", /^[A-Z].*\.$/, `${place} has no description, or it is no sentence`);
        assert.ok((property.examples?.length ?? 0) > 0, `${place} has no examples`);
        if (property.enum) {
          assert.equal(
            property["x-enumDescriptions"]?.length,
            property.enum.length,
            `${place}: a word without meaning`,
          );
        }
      });
    }
    assert.ok(properties > 150, "the walk saw few properties");
  });

  it("give only examples that are right", () => {
    for (const kind of SCHEMA_KINDS) {
      const file = schemaFile(kind);
      eachProperty(file, (property, path) => {
        const validate = outsideValidator().compile({ ...property, $defs: file.$defs });
        for (const example of property.examples ?? []) {
          // An empty text stands for "nothing to say" in the format's own examples.
          assert.ok(
            validate(example),
            `${kind}: ${path}: ${JSON.stringify(example)}: ${JSON.stringify(validate.errors)}`,
          );
        }
      });
    }
  });

  it("allow a note and keys of one's own on every record and part of one", () => {
    for (const kind of SCHEMA_KINDS) {
      for (const [name, definition] of Object.entries(schemaFile(kind).$defs ?? {})) {
        if (definition.type !== "object" || definition["x-free"]) continue;
        assert.ok(definition.properties?.["note"], `${kind}: ${name} allows no note`);
        assert.equal(definition.patternProperties?.["^x-"], true, `${kind}: ${name} allows no x- keys`);
        assert.equal(definition.additionalProperties, false, `${kind}: ${name} allows any key`);
      }
    }
  });

  for (const [kind, right] of Object.entries(RIGHT) as [SchemaKind, object][]) {
    it(`accept a full file of ${kind}, and refuse it without its list`, () => {
      const validate = validatorOfFile(kind);
      assert.ok(validate(right), JSON.stringify(validate.errors));
      assert.ok(!validate({}), "an empty file passes");
      assert.ok(!validate({ ...right, zzz: 1 }), "an unknown key passes");
      assert.ok(validate({ ...right, "x-mine": [1, { any: "thing" }] }));
    });
  }

  for (const [kind, name, wrong] of WRONG) {
    it(`refuse, in ${kind}: ${name}`, () => {
      assert.ok(!validatorOfFile(kind)({ [kind]: [wrong] }));
    });
  }

  it("are described in schemas/README.md as they are now", async () => {
    // @ts-expect-error the build scripts are plain JavaScript
    const { readRegions, readSchemas } = await import("../../server/build/generate-schemas.mjs");
    // @ts-expect-error the build scripts are plain JavaScript
    const { schemaReference } = await import("../../server/build/schema-reference.mjs");
    const page = readFileSync(new URL("../../schemas/README.md", import.meta.url), "utf8");
    assert.equal(
      page,
      schemaReference(await readSchemas(), await readRegions()),
      "run `npm run generate` and commit schemas/README.md",
    );
    for (const kind of RECORD_KINDS) assert.ok(page.includes(`\`*.${kind}.yaml\``));
  });

  it("have validators that need nothing but the project's own words for dates", () => {
    const text = readFileSync(new URL("../../server/generated/validators.mjs", import.meta.url), "utf8");
    assert.doesNotMatch(text, /\brequire\(|\beval\(|new Function/);
    assert.deepEqual(text.match(/^import .*$/gm), ['import * as formats from "../src/schema/formats.ts";']);
  });
});

/** Calls back for every named property and list item, those in `$defs` and in branches included. */
function eachProperty(schema: JsonSchema, visit: (property: JsonSchema, path: string) => void): void {
  const look = (part: JsonSchema | false | true | undefined, path: string, isNamed: boolean): void => {
    if (!part || part === true) return;
    // What stands beside a branch's constant is a condition, not a property.
    if (isNamed && part.const === undefined) visit(part, path);
    for (const [key, inner] of Object.entries(part.properties ?? {}))
      look(inner, `${path}.${key}`, !path.endsWith("?"));
    for (const [key, inner] of Object.entries(part.patternProperties ?? {})) look(inner, `${path}./${key}/`, true);
    look(part.additionalProperties, `${path}.*`, true);
    look(part.items, `${path}[]`, part.items !== false && part.items?.$ref === undefined);
    part.prefixItems?.forEach((inner, i) => look(inner, `${path}[${i}]`, inner.$ref === undefined));
    for (const branch of [part.then, part.else]) look(branch, `${path}?`, false);
    for (const [name, inner] of Object.entries(part.$defs ?? {})) look(inner, `#${name}`, false);
  };
  look(schema, "", false);
}

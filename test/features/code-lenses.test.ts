import { strict as assert } from "node:assert";
import { codeLenses, type CodeLens } from "../../server/src/features/code-lenses.ts";
import type { FeatureContext } from "../../server/src/features/context.ts";
import { inFile } from "../support/feature.ts";

/** A lens as `the text it stands over | its title`. */
function shown(context: FeatureContext): string[] {
  return codeLenses(context).map(({ span, title }) => `${context.file.text.slice(span.start, span.end)} | ${title}`);
}

function titles(source: string, path?: string): string[] {
  return codeLenses(inFile(source, path)).map(({ title }) => title);
}

/** What a lens opens, as `path: text`. */
function opened(context: FeatureContext, lens: CodeLens | undefined): string[] {
  return (lens?.opens?.places ?? []).map(({ path, span }) => {
    const file = context.book.files.find((candidate) => candidate.path === path);
    assert.ok(file, `no file ${path}`);
    return `${path}: ${file.text.slice(span.start, span.end)}`;
  });
}

/** Mill Flat is infested; seeder-1 goes from it to Long Meadow uncleaned, which is then scouted. */
const SOIL = `#! as-of: 2026-08-08
#- all.fields.yaml
fields:
  - id: mill-flat
    name: Mill Flat
    grower: alder-bench
    clubroot: { found_on: 2025-09-02 }
  - id: long-meadow
    name: Long Meadow
    grower: alder-bench
  - id: east-rise
    name: East Rise
    grower: alder-bench
#- all.rotations.yaml
rotations:
  - field: long-meadow
    crops: [{ year: 2026, crop: canola, seeded: 2026-05-15 }]
  - field: east-rise
    crops: [{ year: 2026, crop: barley }]
#- all.visits.yaml
visits:
  - { id: v1, field: mill-flat, arrived: 2026-05-09T08:00, left: 2026-05-09T12:00, purpose: seeding, equipment: [seeder-1] }
  - { id: v2, field: long-meadow, arrived: 2026-05-09T14:00, purpose: seeding, equipment: [seeder-1] }
  - id: v3
    field: long-meadow
    arrived: 2026-08-07T09:00
    purpose: scouting
    digs: [{ id: d1, place: entrance, plants: 60, ratings: [60, 0, 0, 0] }]
`;

describe("code lenses", () => {
  describe("on fields", () => {
    it("say status and why, when the window opens, and what the plants dug would have caught", () => {
      // 105 days from 15 May is 28 August, 14 days before it the 14th. 60 plants at 95 % with a root sensitivity of 0.95:
      // (1 − 0.05^(1/60)) / 0.95 = 5.126 % (binomial, ISPM 31, solved for the incidence).
      assert.deepEqual(shown(inFile(SOIL)), [
        " | 3 fields: 1 confirmed, 1 exposed, 1 no host this season",
        "id | confirmed since 2 Sep 2025, by the field's own record",
        "id | its soil may have gone to 1 field",
        "id | 1 visit in 2026",
        "id | exposed: one carriage from Mill Flat by seeder-1, 9 May · " +
          "window opens about 14 Aug, in 6 days · 60 plants dug, would catch 5.1 % or more",
        "id | 2 visits in 2026",
        "id | no host this season: barley",
      ]);
    });

    it("open what they speak of: the find, the chain with its records, the visits", () => {
      const context = inFile(SOIL);
      const [count, confirmed, soil, visits, exposed] = codeLenses(context);
      assert.deepEqual(
        opened(context, count),
        ["mill-flat", "long-meadow", "east-rise"].map((id) => `all.fields.yaml: ${id}`),
      );
      assert.deepEqual(opened(context, confirmed), ["all.fields.yaml: 2025-09-02"]);
      assert.deepEqual([soil?.opens?.kind, exposed?.opens?.kind], ["soil", "soil"]);
      assert.deepEqual(exposed?.opens?.kind === "soil" && exposed.opens.field, "long-meadow");
      assert.deepEqual(opened(context, exposed), [
        "all.visits.yaml: 2026-05-09T12:00",
        "all.visits.yaml: 2026-05-09T14:00",
      ]);
      assert.deepEqual(opened(context, visits), ["all.visits.yaml: 2026-05-09T08:00"]);
    });

    it("say the severity of a field with galls, and open the dig it is suspected for", () => {
      const source = SOIL.replace("#! as-of: 2026-08-08", "#! as-of: 2026-09-01").replace(
        "[60, 0, 0, 0]",
        "[54, 3, 2, 1]",
      );
      const context = inFile(source);
      const lens = codeLenses(context).find(({ title }) => title.startsWith("suspected"));
      // (3 + 2·2 + 3·1) / (3·60) = 5.56 %; 6 of 60 plants.
      assert.equal(
        lens?.title,
        "suspected: galls in dig d1 of v3 · window closes about 4 Sep, in 3 days · " +
          "60 plants dug, 10 % with galls, DSI 5.6 %",
      );
      assert.deepEqual(opened(context, lens), ["all.visits.yaml: [54, 3, 2, 1]"]);
    });

    it("follow records of other files as they change", () => {
      const cleaned = `${SOIL}#- all.cleanings.yaml
cleanings:
  - id: c1
    at: 2026-05-09T13:00
    equipment: [seeder-1]
    steps: [{ step: remove soil }, { step: wash }, { step: disinfect, strength_percent: 1, contact_minutes: 15 }]
`;
      assert.ok(titles(SOIL).some((title) => title.startsWith("exposed: ")));
      assert.ok(!titles(cleaned).some((title) => title.startsWith("exposed: ")));
      const partly = cleaned.replace("contact_minutes: 15", "contact_minutes: 5");
      assert.ok(
        titles(partly).some((title) => title.startsWith("exposed: one carriage from Mill Flat by seeder-1, 9 May")),
      );
    });

    it("count nothing and say nothing where no field can be read", () => {
      assert.deepEqual(titles("#- a.fields.yaml\nfields:\n"), []);
      assert.deepEqual(titles("#- a.fields.yaml\nfields:\n  - name: no id\n  - {\n"), []);
    });
  });

  describe("on visits", () => {
    const visit = (digs: string): string => `#- a.visits.yaml
visits:
  - id: v1
    field: long-meadow
    arrived: 2026-08-14T09:40
    purpose: scouting
    digs:
${digs}
`;

    it("say what a clean dig can tell, and open the digs", () => {
      const context = inFile(
        visit("      - { id: d1, place: entrance, plants: 20, ratings: [20, 0, 0, 0], look_alikes: 1 }"),
      );
      const [lens] = codeLenses(context);
      // (1 − 0.05^(1/20)) / 0.95 = 14.64 %
      assert.equal(lens?.title, "no galls on 20 plants, would catch 14.6 % or more · 1 look-alike");
      assert.deepEqual(opened(context, lens), ["a.visits.yaml: [20, 0, 0, 0]"]);
    });

    it("say how bad it was, place by place, with the exact interval, and what came of the samples", () => {
      const digs =
        "      - { id: d1, place: entrance, plants: 43, ratings: [43, 0, 0, 0] }\n      - { id: d2, place: patch, plants: 7, ratings: [0, 3, 2, 2] }";
      const sample =
        "#- a.samples.yaml\nsamples: [{ id: s1, field: long-meadow, visit: v1, dig: d2, material: roots, taken: 2026-08-14 }]\n";
      // 7 of 50, exact 95 % interval .058192 to .267396: SciPy's documentation of binomtest's proportion_ci.
      assert.deepEqual(titles(visit(digs) + sample), [
        "galls on 7 of 50 plants: 14 % (5.8 to 26.7 %), DSI 8.7 % · patch 100 %, elsewhere none · 1 sample pending",
      ]);
    });

    it("say what was not rated, and stay silent on a visit that was not to dig", () => {
      assert.deepEqual(titles(visit("      - { id: d1, place: entrance, plants: 10 }")), ["10 plants not rated"]);
      assert.deepEqual(titles(visit("").replace("    digs:\n", "")), ["no plants dug"]);
      assert.deepEqual(titles(visit("").replace("    digs:\n", "").replace("scouting", "seeding")), []);
    });

    it("leave out a visit that has not happened on the as-of day", () => {
      assert.deepEqual(titles(`#! as-of: 2026-08-13\n${visit("      - { id: d1, place: entrance, plants: 10 }")}`), []);
    });

    it("stand over the right text with CRLF, flow style and characters beyond the BMP, beside a record that is broken", () => {
      const body = [
        "visits:",
        "  - { id: v0, note: 🌱🌱, field: long-meadow, arrived: 2026-08-13T09:40, purpose: scouting }",
        '  - { id: v1, field: [unclosed, note: "🌱',
        "  - id: v2",
        "    field: long-meadow",
        "    arrived: 2026-08-14T09:40",
        "    purpose: scouting",
        "",
      ].join("\r\n");
      const context = inFile(`#- a.visits.yaml\n${body}`);
      const lenses = codeLenses(context);
      const last = lenses[lenses.length - 1];
      assert.equal(lenses[0]?.span.start, body.indexOf("id: v0"));
      assert.equal(last?.span.start, body.indexOf("id: v2"));
      assert.equal(last?.title, "no plants dug");
    });
  });

  describe("on cleanings", () => {
    const cleaning = (steps: string): string => `#- a.cleanings.yaml
cleanings:
  - id: c1
    at: 2026-08-14T11:10
    equipment: [dig-kit]
    steps: ${steps}
`;
    const FULL =
      "[{ step: remove soil }, { step: wash }, { step: disinfect, strength_percent: 1.0, contact_minutes: 20 }]";

    it("say that a clean-down is full, or why it is not, and how much soil is left", () => {
      assert.deepEqual(titles(cleaning(FULL)), ["full clean-down"]);
      assert.deepEqual(titles(cleaning(FULL.replace("1.0", "0.48"))), [
        "partial: disinfectant at 0.48 % where 1 % is asked · about 1 % of the soil left",
      ]);
      assert.deepEqual(titles(cleaning("[{ step: remove soil }]")), [
        "partial: not washed, not disinfected · about 10 % of the soil left",
      ]);
      assert.deepEqual(titles(cleaning("[]")), [
        "partial: loose soil not removed, not washed, not disinfected · all of the soil left",
      ]);
    });

    it("open what fell short", () => {
      const context = inFile(cleaning(FULL.replace("1.0", "0.48").replace("20", "10")));
      assert.deepEqual(opened(context, codeLenses(context)[0]), ["a.cleanings.yaml: 0.48", "a.cleanings.yaml: 10"]);
      const missing = inFile(cleaning("[{ step: remove soil }]"));
      assert.deepEqual(opened(missing, codeLenses(missing)[0]), ["a.cleanings.yaml: steps"]);
    });
  });

  describe("on samples", () => {
    const sample = (more: string, asOf = "2026-08-25"): string => `#! as-of: ${asOf}
#- a.samples.yaml
samples:
  - id: s1
    field: long-meadow
    visit: v1
    dig: d2
    material: roots
    lab: plains-lab
    taken: 2026-08-14
    ${more}
#- a.visits.yaml
visits:
  - { id: v1, field: long-meadow, arrived: 2026-08-14T09:00, purpose: scouting, digs: [{ id: d1 }, { id: d2 }] }
`;

    it("say how long it has been at the lab and when the result is due", () => {
      // The lab of the fixture takes 21 days from sending: 15 August and 21 days is 5 September.
      assert.deepEqual(titles(sample("sent: 2026-08-15")), ["10 days at the lab (sent 15 Aug), result due in 11 days"]);
      assert.deepEqual(titles(sample("sent: 2026-08-15\n    received: 2026-08-18")), [
        "7 days at the lab (received 18 Aug), result due in 11 days",
      ]);
      assert.deepEqual(titles(sample("sent: 2026-08-15", "2026-09-05")), [
        "21 days at the lab (sent 15 Aug), result due today",
      ]);
      assert.deepEqual(titles(sample("sent: 2026-08-15", "2026-09-08")), [
        "24 days at the lab (sent 15 Aug), result overdue by 3 days",
      ]);
    });

    it("say the result, and what has not been sent", () => {
      const result =
        "sent: 2026-08-15\n    received: 2026-08-18\n    result: { reported: 2026-08-24, finding: not detected }";
      assert.deepEqual(titles(sample(result)), ["not detected · 6 days at the lab, reported 24 Aug"]);
      assert.deepEqual(titles(sample(result, "2026-08-20")), [
        "2 days at the lab (received 18 Aug), result due in 16 days",
      ]);
      assert.deepEqual(titles(sample("packed: paper bag")), ["not sent, taken 11 days ago, to be sent by 21 Aug"]);
      assert.deepEqual(titles(sample("packed: paper bag", "2026-08-01")), []);
    });

    it("open the dig it is from", () => {
      const context = inFile(sample("sent: 2026-08-15"));
      assert.deepEqual(opened(context, codeLenses(context)[0]), ["a.visits.yaml: d2"]);
    });
  });

  it("show no icon, no second line and no turned writing that a name asks for", () => {
    const hostile = SOIL.replace("name: Mill Flat", 'name: "$(error) Mill\\n\\u202EFlat"');
    const exposed = titles(hostile).find((title) => title.startsWith("exposed"));
    assert.ok(exposed?.startsWith("exposed: one carriage from $ (error) Mill Flat by seeder-1"), exposed);
  });
});

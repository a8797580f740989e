import { strict as assert } from "node:assert";
import { inlayHints, INLAY_HINT_KINDS, type InlayHintOptions } from "../../server/src/features/inlay-hints.ts";
import { contextOf, type FeatureContext } from "../../server/src/features/context.ts";
import { openFixture } from "../support/check.ts";
import { inFile } from "../support/feature.ts";
import { parseFixture } from "../support/fixture.ts";

/** The file's text with each hint written in where it is shown. */
function withHints(context: FeatureContext, options?: InlayHintOptions): string {
  const { text } = context.file;
  let shown = text;
  for (const { at, label } of inlayHints(context, { start: 0, end: text.length }, options).reverse()) {
    shown = `${shown.slice(0, at)}«${label}»${shown.slice(at)}`;
  }
  return shown;
}

/** Checks a file against the same text with its hints written in between « and »; other files stand as they are. */
function check(expected: string, more = "", options?: InlayHintOptions): void {
  const fixture = parseFixture(expected.replace(/«[^»]*»/g, "") + more);
  const path = [...fixture.files.keys()][0]!;
  const context = contextOf(openFixture(fixture), path);
  assert.ok(context);
  const wanted = parseFixture(expected).files.get(path)!;
  assert.equal(withHints(context, options), wanted);
}

const VISIT = `#- a.visits.yaml
visits:
  - id: v1
    field: long-meadow«Long Meadow»
    arrived: 2026-08-14T09:40
    left: 2026-08-14T11:05«1 h 25 min»
    purpose: scouting
    crew: [mo«M. Okafor», nobody]
    equipment: [dig-kit]
    stage: 83«30 % of pods ripe»
    digs:
      - { id: d1, place: entrance, plants: 20, ratings: [18, 1, 1, 0]«DSI 5 %, incidence 10 %», look_alikes: 1 }
`;

describe("inlay hints", () => {
  it("show severity, the meaning of the stage, the time on the field, and names after ids", () => {
    // (1·1 + 2·1) / (3·20) = 5 %; 2 of 20 plants. BBCH 83: 30 % of pods ripe.
    check(VISIT);
  });

  it("stand after the key of a list that has a line for each item", () => {
    check(`#- a.visits.yaml
visits:
  - id: v1
    field: mill-flat«Mill Flat»
    arrived: 2026-08-14T09:40
    left: 2026-08-16T09:40«48 h»
    crew:
      - mo«M. Okafor»
      - ines«I. Vale»
    digs:
      - id: d1
        ratings:«DSI 100 %, incidence 100 %» # all of them
          - 0
          - 0
          - 0
          - 25
`);
  });

  it("show the strength of a mix after the last of its figures, in whatever order they stand", () => {
    // 5.25 · 2 / (2 + 8.5) = 1 %; 1 part to 10 of water gives 0.48 % (CDC, Environmental Cleaning, appendix E).
    check(`#- a.cleanings.yaml
cleanings:
  - id: c1
    equipment: [boots/mo«M. Okafor»]
    by: mo«M. Okafor»
    steps:
      - { step: disinfect, stock_percent: 5.25, stock_l: 2, water_l: 8.5«makes 1 %», strength_percent: 1.0 }
      - step: disinfect
        water_l: 10
        stock_l: 1
        strength_percent: 1
        stock_percent: 5.25«makes 0.48 %»
        contact_minutes: 15
      - { step: disinfect, stock_percent: 5.25, stock_l: 0, water_l: 0 }
      - { step: disinfect, stock_percent: 5.25, stock_l: 2 }
`);
  });

  it("show the break before a host crop, and what is not recorded in it", () => {
    check(`#- a.rotations.yaml
rotations:
  - field: long-meadow«Long Meadow»
    crops:
      - { year: 2019, crop: canola }
      - { year: 2020, crop: Canola«no break» }
      - { year: 2022, crop: spring wheat }
      - { year: 2023, crop: canola«break of 1 year, 2021 not recorded» }
      - { year: 2024, crop: barley, volunteers: present }
      - { year: 2025, crop: field peas }
      - { year: 2026, crop: canola«break of 1 year», variety: demo 41 R }
`);
  });

  it("say nothing of what cannot be worked out", () => {
    check(`#- a.visits.yaml
visits:
  - { id: v1, field: nowhere, arrived: 2026-08-14T09:40, left: 2026-08-14T09:00, stage: 45, digs: [{ ratings: [0, 0, 0, 0] }] }
  - { id: v2, left: 2026-08-14T09:00, stage: 830, digs: [{ ratings: [1, 2] }, { ratings: many }] }
`);
  });

  it("read past a broken record, CRLF, flow style and characters beyond the BMP", () => {
    const body = [
      "visits:",
      "  - { id: v0, note: 🌱🌱, stage: 65«full flowering: 50 % of flowers on the main stem open» }",
      '  - { id: v1, field: [unclosed, stage: 6, note: "🌱',
      "  - id: v2",
      "    stage: 9«emergence»",
      "    digs:",
      "      - plants: 10",
      "        ratings: [9, 1, 0, 0]«DSI 3.3 %, incidence 10 %»",
      "        ratin",
      "",
    ].join("\r\n");
    check(`#- a.visits.yaml\n${body}`);
  });

  it("stand after the alias, not at the value that it stands for", () => {
    check(`#- a.visits.yaml
x-common:
  - &clean [20, 0, 0, 0]
  - &digs [{ plants: 20, ratings: [19, 1, 0, 0] }]
visits:
  - { id: v1, digs: [{ plants: 20, ratings: *clean«DSI 0 %, incidence 0 %» }] }
  - { id: v2, digs: *digs }
`);
  });

  it("can each be turned off", () => {
    const kinds = (options?: InlayHintOptions): string[] => {
      const sources = [VISIT, CLEANING, ROTATION].map((source) => inFile(source.replace(/«[^»]*»/g, "")));
      return [
        ...new Set(
          sources.flatMap((context) => inlayHints(context, { start: 0, end: 9999 }, options).map(({ kind }) => kind)),
        ),
      ];
    };
    assert.deepEqual(kinds().sort(), [...INLAY_HINT_KINDS].sort());
    for (const kind of INLAY_HINT_KINDS) {
      assert.deepEqual(kinds({ [kind]: false }).sort(), INLAY_HINT_KINDS.filter((other) => other !== kind).sort());
    }
    assert.deepEqual(kinds(Object.fromEntries(INLAY_HINT_KINDS.map((kind) => [kind, false]))), []);
  });

  it("are those of the stretch that is asked for", () => {
    const context = inFile(
      VISIT.replace(/«[^»]*»/g, "") +
        VISIT.replace(/«[^»]*»/g, "")
          .split("\n")
          .slice(2)
          .join("\n")
          .replace("v1", "v2"),
    );
    const { text } = context.file;
    const all = inlayHints(context, { start: 0, end: text.length });
    const from = text.indexOf("stage");
    const to = text.indexOf("id: v2") + 40;
    const some = inlayHints(context, { start: from, end: to });
    assert.ok(some.length > 0 && some.length < all.length);
    assert.deepEqual(
      some,
      all.filter(({ at }) => at >= from && at <= to),
    );
    assert.deepEqual(inlayHints(context, { start: 0, end: 3 }), []);
    assert.deepEqual(inlayHints(context, { start: text.length, end: text.length }), []);
  });

  it("keep to one line whatever a name holds", () => {
    check(
      `#- a.visits.yaml
visits:
  - { id: v1, field: long-meadow«Long Meadow» }`,
      `\n#- a.fields.yaml\nfields: [{ id: long-meadow, name: "Long\\n\\u202EMeadow" }]\n`,
    );
  });
});

const CLEANING = `#- a.cleanings.yaml
cleanings: [{ id: c1, steps: [{ step: disinfect, stock_percent: 5.25, stock_l: 2, water_l: 8.5 }] }]
`;
const ROTATION = `#- a.rotations.yaml
rotations: [{ field: long-meadow, crops: [{ year: 2023, crop: canola }, { year: 2026, crop: canola }] }]
`;

import { strict as assert } from "node:assert";
import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import fc from "fast-check";
import type { FeatureContext } from "../../server/src/features/context.ts";
import { semanticTokens } from "../../server/src/features/semantic-tokens.ts";
import { inFile } from "../support/feature.ts";

/** `text type modifiers` of each token. */
function shown(context: FeatureContext, span?: { start: number; end: number }): string[] {
  return semanticTokens(context, span).map(({ span: { start, end }, type, modifiers }) =>
    [context.file.text.slice(start, end), type, ...modifiers].join(" "),
  );
}

const VISITS = `#- a.visits.yaml
visits:
  # accept entry/wet-ground: the field was crossed on boards
  - id: v1
    field: long-meadow
    entrance: nowhere
    arrived: 2026-08-14T09:40 # accept the ground as it is
    crew: ["mo"]
    ground: wet
    footwear: "disposable"
    stage: 83
    note: 'dry 🌱 # accept entry/risk-order: no comment'
    x-mood: good
    patches:
      - { id: p1, area_m2: 60 }
    digs:
      - { id: d1, place: patch, patch: v0#p1, plants: 20, ratings: [20, 0, 0, 0] }
`;

describe("semantic tokens", () => {
  it("tell what each word of a visit means", () => {
    assert.deepEqual(shown(inFile(VISITS)), [
      "visits keyword",
      "accept keyword",
      "entry/wet-ground macro",
      "id property required",
      "v1 variable definition",
      "field property reference required",
      "long-meadow variable",
      "entrance property reference",
      "nowhere variable unknown",
      "arrived property required",
      "2026-08-14T09:40 date",
      "accept keyword",
      "the macro",
      "crew property reference",
      "mo variable",
      "ground property",
      "wet enumMember",
      "footwear property",
      '"disposable" enumMember',
      "stage property measured",
      "83 number measured",
      "note property documentation",
      "x-mood property documentation",
      "patches property",
      "id property required",
      "p1 variable definition",
      "area_m2 property measured",
      "60 number measured",
      "digs property",
      "id property required",
      "d1 variable definition",
      "place property required",
      "patch enumMember",
      "patch property reference",
      "v0 variable unknown",
      "p1 variable unknown",
      "plants property measured required",
      "20 number measured",
      "ratings property measured",
      "20 number measured",
      "0 number measured",
      "0 number measured",
      "0 number measured",
    ]);
  });

  it("know boots, misspelt keys, owners and clean-downs", () => {
    const book = `#- a.cleanings.yaml
cleanings: [{ id: c1, at: 2026-08-14T10:00, equipmnt: [x], equipment: [boots/mo, spade] }]
#- a.equipment.yaml
equipment: [{ id: dig-kit, owner: alder-bench, touches_soil: false }, { id: e2, owner: somebody }]
`;
    assert.deepEqual(shown(inFile(book)).slice(5), [
      "equipmnt property unknown",
      "equipment property reference required",
      "boots/ namespace",
      "mo variable",
      "spade variable unknown",
    ]);
    const equipment = shown(inFile(book, "a.equipment.yaml")).join();
    assert.match(
      equipment,
      /owner property,alder-bench variable,touches_soil property,false enumMember.*owner property$/,
    );
  });

  it("know season.yaml and region packs", () => {
    const book =
      "#- season.yaml\nseason: 2026\nrules: { entry/wet-ground: off }\ncrew: [{ id: mo }]\n#- our.region.yaml\nregion: our\ntrace: { look_back_days: 100 }\n";
    assert.deepEqual(shown(inFile(book)), [
      "season property measured required",
      "2026 number measured",
      "rules property",
      "entry/wet-ground macro",
      "off enumMember",
      "crew property",
      "id property required",
      "mo variable definition",
    ]);
    assert.ok(shown(inFile(book, "our.region.yaml")).includes("100 number measured"));
  });

  it("look only at the records that are asked for", () => {
    const context = inFile(`${VISITS}  - id: v2\n    ground: dry\n`);
    const at = context.file.text.indexOf("v2");
    assert.deepEqual(shown(context, { start: at, end: at }).slice(-4), [
      "id property required",
      "v2 variable definition",
      "ground property",
      "dry enumMember",
    ]);
    assert.ok(!shown(context, { start: at, end: at }).includes("v1 variable definition"));
  });

  it("go on past a record that is half typed", () => {
    const broken = VISITS.replace("  # accept entry", '  - id: v0\n    field: "lo\n    crew: [\n  # accept entry');
    assert.ok(shown(inFile(broken)).includes("v1 variable definition"));
  });

  it("never overlap nor run over a line, whatever the text", () => {
    const text = VISITS.split("\n").slice(1).join("\n");
    fc.assert(
      fc.property(
        fc.nat(text.length),
        fc.nat(30),
        fc.string({ unit: "binary", maxLength: 6 }),
        fc.boolean(),
        (at, cut, noise, crlf) => {
          const edited = (text.slice(0, at) + noise + text.slice(at + cut)).replace(/^#[-!].*$/gm, "");
          const context = inFile(`#- a.visits.yaml\n${crlf ? edited.replaceAll("\n", "\r\n") : edited}`);
          assertSound(context);
        },
      ),
      { numRuns: 400 },
    );
  });

  it("find every id of the sample season but the one that is mistyped", () => {
    const root = fileURLToPath(new URL("../../sample-workspace/", import.meta.url));
    const paths = readdirSync(root, { recursive: true, encoding: "utf8" }).filter((path) => path.endsWith(".yaml"));
    const book = paths
      .map((path) => `#- ${path.replaceAll("\\", "/")}\n${readFileSync(root + path, "utf8")}`)
      .join("\n");
    const unknown = paths.flatMap((path) => {
      const context = inFile(book, path.replaceAll("\\", "/"));
      assertSound(context);
      return shown(context).filter((token) => / variable unknown/.test(token));
    });
    assert.deepEqual(unknown, ["west-eigthy variable unknown"]);
  });
});

function assertSound(context: FeatureContext): void {
  const { text } = context.file;
  let last = 0;
  for (const { span } of semanticTokens(context)) {
    assert.ok(last <= span.start && span.start < span.end && span.end <= text.length);
    assert.ok(!/[\r\n]/.test(text.slice(span.start, span.end)));
    last = span.end;
  }
}

import { strict as assert } from "node:assert";
import fc from "fast-check";
import { documentSymbols, type DocumentSymbol } from "../../server/src/features/symbols.ts";
import { matchRank, workspaceSymbols } from "../../server/src/features/workspace-symbols.ts";
import { contextOf } from "../../server/src/features/context.ts";
import { makeBook } from "../bench/make-book.mjs";
import { openFixture } from "../support/check.ts";
import { inFile } from "../support/feature.ts";

const VISITS = `#- a.visits.yaml
visits:
  # the first walk
  - id: v1
    field: long-meadow
    arrived: 2026-08-14T09:40
    purpose: scouting
    digs:
      - { id: d1, place: entrance, plants: 20, ratings: [20, 0, 0, 0] }
      - { place: patch, patch: p1, plants: 1, ratings: [1, 0, 0, 0] }
    patches:
      - id: p1
        symptom: "ripening early 🌱"
        area_m2: 60
  - field: mill-flat
    arrived: 2025-08-14T09:40
  - { id: v3, field: "odd
      one", purpose: other }
`;

/** A symbol and those below it, a line each. */
function outline(symbols: readonly DocumentSymbol[], text: string, indent = ""): string[] {
  return symbols.flatMap(({ kind, name, detail, selection, children }) => [
    `${indent}${kind} ${name} (${detail}) ‹${text.slice(selection.start, selection.end)}›`,
    ...outline(children, text, `${indent}  `),
  ]);
}

function outlineOf(source: string, path?: string): string[] {
  const context = inFile(source, path);
  return outline(documentSymbols(context), context.file.text);
}

/** What an editor asks of symbols. */
function assertSound(symbols: readonly DocumentSymbol[], within: { start: number; end: number }): void {
  for (const { span, selection, name, children } of symbols) {
    assert.ok(name.trim() !== "");
    assert.ok(within.start <= span.start && span.end <= within.end, `${name} is outside what holds it`);
    assert.ok(span.start <= selection.start && selection.end <= span.end, `${name}: the selection is outside`);
    assertSound(children, span);
  }
}

describe("document symbols", () => {
  it("are the visits with their patches and digs, in the order written", () => {
    assert.deepEqual(outlineOf(VISITS), [
      "visit v1 (Long Meadow · 14 Aug · scouting) ‹v1›",
      "  dig d1 (entrance · 20 plants) ‹d1›",
      "  dig dig without an id (patch · p1 · 1 plant) ‹place›",
      "  patch p1 (ripening early 🌱 · 60 m²) ‹p1›",
      "visit visit without an id (Mill Flat · 14 Aug 2025) ‹field›",
      "visit v3 (odd one · other) ‹v3›",
    ]);
  });

  it("are the people, labs and settings of season.yaml", () => {
    assert.deepEqual(outlineOf(VISITS, "season.yaml"), [
      "group season (2026) ‹season›",
      "group region (ca-prairies) ‹region›",
      "group growers (1) ‹growers›",
      "  grower alder-bench (Alder Bench Farm) ‹alder-bench›",
      "group crew (2) ‹crew›",
      "  crew mo (M. Okafor) ‹mo›",
      "  crew ines (I. Vale) ‹ines›",
      "group labs (1) ‹labs›",
      "  lab plains-lab (Plains Plant Diagnostics) ‹plains-lab›",
    ]);
  });

  it("are the steps of a clean-down, the crops of a rotation, the entrances of a field and the checks of a pack", () => {
    const cleanings = `#- a.cleanings.yaml
cleanings:
  - { id: c1, at: 2026-08-14T12:00, place: wash bay, equipment: [dig-kit, boots/mo], steps: [{ step: remove soil }, { step: disinfect, product: bleach, contact_minutes: 15 }] }
#- a.rotations.yaml
rotations:
  - field: long-meadow
    crops: [{ year: 2025, crop: spring wheat }, { year: 2026, crop: canola, variety: demo 41 R }]
#- a.fields.yaml
fields:
  - { id: long-meadow, name: Long Meadow, area_ha: 62.4, entrances: [{ id: gate, usual: true }] }
#- our.region.yaml
region: our
checks:
  - { code: county/permit, on: visits, level: warning, when: "true", message: m, source: s }
`;
    assert.deepEqual(outlineOf(cleanings), [
      "cleaning c1 (14 Aug · wash bay · dig-kit and boots/mo) ‹c1›",
      "  step remove soil () ‹remove soil›",
      "  step disinfect (bleach · 15 min) ‹disinfect›",
    ]);
    assert.deepEqual(outlineOf(cleanings, "a.rotations.yaml"), [
      "rotation long-meadow (Long Meadow · 2025 to 2026) ‹long-meadow›",
      "  crop 2025 (spring wheat) ‹2025›",
      "  crop 2026 (canola · demo 41 R) ‹2026›",
    ]);
    assert.deepEqual(outlineOf(cleanings, "a.fields.yaml"), [
      "field long-meadow (Long Meadow · 62.4 ha) ‹long-meadow›",
      "  entrance gate (usual) ‹gate›",
    ]);
    assert.deepEqual(outlineOf(cleanings, "our.region.yaml"), [
      "group region (our) ‹region›",
      "group checks (1) ‹checks›",
      "  check county/permit (warning) ‹county/permit›",
    ]);
  });

  it("go on past a record that is half typed", () => {
    const broken = VISITS.replace("  - field: mill-flat\n", "  - id: v2\n    digs: [{ id: d1\n");
    const names = documentSymbols(inFile(broken)).map(({ name }) => name);
    assert.ok(names.includes("v1") && names.includes("v3"), names.join());
  });

  it("lie within one another whatever the text", () => {
    const text = VISITS.split("\n").slice(1).join("\n");
    fc.assert(
      fc.property(fc.nat(text.length), fc.nat(30), fc.string({ unit: "binary", maxLength: 6 }), (at, cut, noise) => {
        const edited = text.slice(0, at) + noise + text.slice(at + cut);
        const files = new Map([["a.visits.yaml", edited]]);
        const day = "2026-10-31";
        const fixture = { files, asOf: day, today: day, allSeasons: false, marks: [], cursor: undefined };
        const context = contextOf(openFixture(fixture), "a.visits.yaml")!;
        assertSound(documentSymbols(context), { start: 0, end: context.file.text.length });
      }),
      { numRuns: 300 },
    );
  });

  it("let no record forge a line", () => {
    const [symbol] = documentSymbols(inFile('#- a.fields.yaml\nfields: [{ id: a, name: "x\\n\\u202Ey" }]'));
    assert.equal(symbol!.detail, "x y");
  });
});

describe("workspace symbols", () => {
  const { book } = inFile(VISITS);
  const names = (query: string, most?: number): string[] => workspaceSymbols(book, query, most).map(({ name }) => name);

  it("are found by the letters of the id or the name, in order", () => {
    assert.deepEqual(names("lmead"), ["long-meadow"]);
    assert.deepEqual(names("Okafor"), ["mo"]);
    assert.deepEqual(names("mill f"), ["mill-flat"]);
    assert.deepEqual(names("zzz"), []);
  });

  it("put what starts with the query before what only holds its letters", () => {
    assert.deepEqual(names("m").slice(0, 2), ["mill-flat", "mo"]);
    assert.equal(matchRank("mill", "mill"), 0);
    const ranks = ["mill-flat", "old-mill", "sawmill", "m-i-l-l", "my islands look lovely"].map((text) =>
      matchRank(text, "mill"),
    );
    assert.deepEqual(
      [...ranks].sort((a, b) => a! - b!),
      ranks,
    );
    assert.equal(new Set(ranks).size, ranks.length);
    assert.equal(matchRank("lim", "mill"), undefined);
  });

  it("stand where the id is, with what they are", () => {
    const [visit] = workspaceSymbols(book, "v1");
    assert.equal(visit!.path, "a.visits.yaml");
    assert.equal(VISITS.split("\n").slice(1).join("\n").slice(visit!.span.start, visit!.span.end), "v1");
    assert.equal(`${visit!.kind} ${visit!.detail}`, "visit Long Meadow · 14 Aug · scouting");
  });

  it("are no more than asked for, and all of them without a query", () => {
    const files = makeBook({ fields: 40, years: 3 });
    const day = "2026-10-31";
    const fixture = { files, asOf: day, today: day, allSeasons: false, marks: [], cursor: undefined };
    const large = openFixture(fixture).book;
    assert.equal(workspaceSymbols(large, "").length, 200);
    assert.equal(workspaceSymbols(large, "v", 17).length, 17);
    assert.ok(workspaceSymbols(large, "f-12").every(({ name }) => /f.*-.*1.*2/.test(name)));
    assert.equal(workspaceSymbols(large, "f-12")[0]!.name, "f-12");
  });
});

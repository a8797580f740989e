import { strict as assert } from "node:assert";
import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import ts from "typescript";
import { resolveRegion, shippedRegionNames } from "../../server/src/schema/region.ts";

const SOURCE = fileURLToPath(new URL("../../server/src/", import.meta.url));
const FILES = [
  ...readdirSync(`${SOURCE}cli/calc`).map((name) => `cli/calc/${name}`),
  ..."clean-down-plan driving entry-days field-work left-out season-plan unsent-samples work-day"
    .split(" ")
    .map((name) => `planning/${name}.ts`),
  ...["plan-text", "plan-words", "plan-json", "field-sheet/field-sheet"].map((name) => `output/${name}.ts`),
  ..."freedom freedom-words scouting-window weather weather-words".split(" ").map((name) => `book/${name}.ts`),
];

/** Counts, indices, percent and millilitres: these numbers mean nothing by themselves. */
const PLAIN = new Set([0, 1, 2, 3, 4, 5, 10, 100, 1000]);

function numbersIn(value: unknown): number[] {
  if (typeof value === "number") return [value];
  if (typeof value !== "object" || value === null) return [];
  return Object.values(value).flatMap(numbersIn);
}

function literalsOf(path: string): { value: number; line: number }[] {
  const file = ts.createSourceFile(path, readFileSync(SOURCE + path, "utf8"), ts.ScriptTarget.Latest, true);
  const found: { value: number; line: number }[] = [];
  const walk = (node: ts.Node): void => {
    if (ts.isNumericLiteral(node)) {
      const { line } = file.getLineAndCharacterOfPosition(node.getStart());
      found.push({ value: Number(node.text), line: line + 1 });
    }
    node.forEachChild(walk);
  };
  walk(file);
  return found;
}

describe("the figures of the trade", () => {
  it("stand in the region packs, and in none of the calculations that use them", () => {
    const figures = new Set(
      shippedRegionNames().flatMap((name) => numbersIn(resolveRegion(name, () => undefined).pack)),
    );
    for (const figure of [0.95, 0.02, 3.6, 14, 7, 60, 105, 1500, 500, 24])
      assert.ok(figures.has(figure), String(figure));
    assert.ok(FILES.length > 15);
    const strays = FILES.flatMap((path) =>
      literalsOf(path)
        .filter(({ value }) => figures.has(value) && !PLAIN.has(value))
        .map(({ value, line }) => `${path}:${line} has ${value}`),
    );
    assert.deepEqual(strays, []);
  });
});

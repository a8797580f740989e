import { strict as assert } from "node:assert";
import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import ts from "typescript";
import { resolveRegion, shippedRegionNames } from "../../server/src/schema/region.ts";

const SOURCE = fileURLToPath(new URL("../../server/src/", import.meta.url));
const ROOMS = ["rules", "book", "features", "cli", "planning", "output", "agronomy", "soil"];

/** Files and folders of nothing but drawing, the sun's course and the search for the best plan: their numbers are not the trade's. */
const PASSED_OVER = [
  // The growth scale itself: codes and their meanings, as published.
  "agronomy/bbch.ts",
  "output/picture/",
  "output/field-sheet/drawings.ts",
  "output/field-sheet/qr-code.ts",
  "output/html-page.ts",
  "planning/daylight.ts",
  "planning/field-ground.ts",
  "planning/plan-bound.ts",
  "planning/plan-search.ts",
  "planning/pseudo-random.ts",
];

/** Counts, indices and units: nothing, one, two; parts of a hundred; grams and millilitres; hours and minutes. */
const PLAIN = new Set([0, 1, 2, 10, 100, 1000, 24, 60, 1440]);
/** Positions of snippets' stops and columns of a date; what a region says is never this small and written like that. */
const SMALL = new Set([3, 4, 5, 6, 7, 8]);
const PLACES = new Set("tabStop choice choiceOf padStart padEnd repeat stepText".split(" "));
/** How long a shown text may be, how many of a list are shown, how many decimals: the size of an answer, not its content. */
const SIZED = new Set(
  "oneLine plainTitle markdownText slice figure toFixed toPrecision numberText percentText".split(" "),
);
/** Constants that say of themselves that they bound the work or the answer, or how wide it is. */
const BOUND =
  /^(MOST|LONGEST|RECORDS_LOOKED_AT|VISITS_LOOKED_AT|ROUNDING|DIGITS|DECIMALS)(_|$)|_(NAMED|SHOWN|FOLLOWED)$|(^|_)WIDTH$/;

/** What is left, reviewed one by one: by file, the numbers and why they are none of the trade's. */
const REVIEWED: Readonly<Record<string, readonly [numbers: readonly number[], why: string]>> = {
  "agronomy/calculated.ts": [
    [4, 5, 1e-6, 1e15],
    "digits of a number that is shown, and where it is too long to be written out",
  ],
  "agronomy/clustering.ts": [[1e-3], "what is lost in rounding where shares are added up"],
  "agronomy/degree-days.ts": [[719162, 2932896], "the first and the last day of the years 1 to 9999"],
  "agronomy/dug-plants.ts": [[200, 45, 0.5], "powers of e that no longer count; which of two forms keeps its digits"],
  "agronomy/freedom-formula.ts": [[0.9999], "the chance that is shown where rounding would make it certain"],
  "agronomy/interval.ts": [[4], "of Wilson's formula"],
  "agronomy/mixing-traps.ts": [[0.99], "a mix that misses by less is told as right"],
  "agronomy/spores.ts": [[0.5], "what is left after a half-life"],
  "soil/minutes.ts": [[31], "the bits of a number beside its sign"],
  "soil/carrier-cleanings.ts": [[1e6, 5], "steps of a decade in which amounts are compared; steps of a search"],
  "book/exposure-words.ts": [[0.1], "a share under this many percent is shown as less than it"],
  "book/field-status.ts": [[4], "the classes of the rating scale, which is the format's own"],
  "book/freedom-words.ts": [[99], "from this percentage on a decimal is shown"],
  "book/outlines.ts": [[4, 180, 90], "corners of a closed ring, and the degrees of the globe, by RFC 7946"],
  "cli/place-option.ts": [[90, 180], "the degrees of the globe"],
  "cli/plan.ts": [[7], "days of a week, the usual length of a plan"],
  "cli/calc/severity.ts": [[4], "the classes of the rating scale, which is the format's own"],
  "features/completion/block-scan.ts": [[4], "the length of a line of three dashes and its end"],
  "features/completion/completion-ids.ts": [[3, 4, 5], "ranks of proposals"],
  "features/completion/completion-packs.ts": [[4], "steps to a key's description, and to a code"],
  "features/completion/completion-records.ts": [[6], "the first stop of a snippet that is left"],
  "features/completion/likely-kit.ts": [[0.5], "the weight of a guess"],
  "features/completion/typing-place.ts": [[200], "how far blanks are looked for"],
  "features/fixes/home-file.ts": [[3, 4, 0.5], "weights of a guess"],
  "features/fixes/new-record-edit.ts": [[200], "how far text is looked at"],
  "features/format-layout.ts": [[32], "a blank"],
  "features/hover/figures-of-visits.ts": [[366], "days of a year"],
  "features/hover/figures.ts": [[3], "steps to a part of a record"],
  "output/check-text.ts": [[30], "letters before what is underlined"],
  "output/grower-report/samples-and-rotation.ts": [[5], "years back that a table shows"],
  "output/markdown-text.ts": [[3, 4, 16], "lengths of marks of Markdown, and the base of a letter's code"],
  "output/plan-ics.ts": [[3, 4, 75], "octets of a letter in UTF-8, and of a line by RFC 5545"],
  "output/plan-words.ts": [[1970, 4], "a Sunday"],
  "output/season/season-tables.ts": [[0.05], "a share by which a size may differ and not be told"],
  "output/trace-text.ts": [[20], "the width of a column"],
  "planning/field-work.ts": [[4], "strokes of a W"],
  "planning/local-clock.ts": [[60000], "milliseconds of a minute"],
  "features/workspace-symbols.ts": [[3, 4], "ranks of symbols"],
};

function literalsOf(path: string, text: string): ts.NumericLiteral[] {
  const found: ts.NumericLiteral[] = [];
  const walk = (node: ts.Node): void => {
    if (ts.isNumericLiteral(node)) found.push(node);
    node.forEachChild(walk);
  };
  walk(ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true));
  return found;
}

/** Every number of a file that is none of those allowed, with its place. */
function straysIn(path: string, text: string): string[] {
  return literalsOf(path, text)
    .filter((node) => !isAllowed(node, path))
    .map((node) => {
      const { line } = node.getSourceFile().getLineAndCharacterOfPosition(node.getStart());
      return `${path}:${line + 1} has ${node.text}`;
    });
}

function isAllowed(node: ts.NumericLiteral, path: string): boolean {
  const value = Number(node.text);
  // Letters by their codes.
  if (/^0x/i.test(node.getText()) || PLAIN.has(value)) return true;
  // What is lost in rounding; and which item of a list.
  if (value < 1e-6 || ts.isElementAccessExpression(node.parent)) return true;
  const call = ts.isCallExpression(node.parent) ? node.parent.expression : undefined;
  const called = call && (ts.isPropertyAccessExpression(call) ? call.name.text : call.getText());
  if (called !== undefined && (SIZED.has(called) || (PLACES.has(called) && SMALL.has(value)))) return true;
  if (BOUND.test(constantAround(node))) return true;
  // How wide a picture is drawn.
  if (ts.isPropertyAssignment(node.parent) && node.parent.name.getText() === "width") return true;
  return REVIEWED[path]?.[0].includes(value) === true;
}

/** The name of the constant of the file that a number is part of. */
function constantAround(node: ts.Node): string {
  for (let at = node; !ts.isSourceFile(at); at = at.parent)
    if (ts.isVariableDeclaration(at) && ts.isSourceFile(at.parent.parent.parent)) return at.name.getText();
  return "";
}

function numbersIn(value: unknown): number[] {
  if (typeof value === "number") return [value];
  return value !== null && typeof value === "object" ? Object.values(value).flatMap(numbersIn) : [];
}

function filesOf(room: string): string[] {
  return (readdirSync(SOURCE + room, { recursive: true }) as string[])
    .filter((path) => path.endsWith(".ts"))
    .map((path) => `${room}/${path.replaceAll("\\", "/")}`)
    .filter((path) => !PASSED_OVER.some((passed) => path.startsWith(passed)));
}

describe("numbers in the code of calculations, soil, rules, books, features, commands, plans and outputs", () => {
  const files = ROOMS.flatMap(filesOf);

  it("are counts, units and bounds of an answer: figures of the trade stand in region packs", () => {
    assert.ok(files.length > 150, String(files.length));
    assert.deepEqual(
      files.flatMap((path) => straysIn(path, readFileSync(SOURCE + path, "utf8"))),
      [],
    );
  });

  it("are all looked at: a figure of any shipped pack that is put into a rule is found there", () => {
    const figures = new Set(
      shippedRegionNames().flatMap((name) => numbersIn(resolveRegion(name, () => undefined).pack)),
    );
    const small = [...figures].filter((figure) => PLAIN.has(figure));
    for (const figure of figures) {
      if (PLAIN.has(figure)) continue;
      const rule = `export const late = (days: number): boolean => days > ${String(figure)};\nconst STRENGTH = ${String(figure)};`;
      assert.equal(straysIn("rules/sample/late.ts", rule).length, 2, String(figure));
    }
    assert.ok(figures.size - small.length > 30);
  });

  it("that were reviewed are still there", () => {
    for (const [path, [numbers]] of Object.entries(REVIEWED)) {
      const written = new Set(literalsOf(path, readFileSync(SOURCE + path, "utf8")).map(({ text }) => Number(text)));
      for (const number of numbers) assert.ok(written.has(number), `${path} has no ${String(number)} any more`);
    }
  });
});

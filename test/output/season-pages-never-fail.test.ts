// Whatever a book holds, its pages are written, and are whole.
import { strict as assert } from "node:assert";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import fc from "fast-check";
import { XMLValidator } from "fast-xml-parser";
import { parseDay } from "../../server/src/base/days.ts";
import { openBook } from "../../server/src/book/open-book.ts";
import { fieldOutlines } from "../../server/src/book/outlines.ts";
import { growerReport } from "../../server/src/output/grower-report/grower-report.ts";
import { seasonFacts } from "../../server/src/output/season/season-facts.ts";
import { seasonPanel } from "../../server/src/output/season/season-panel.ts";
import { wholeBook } from "../../server/src/output/season/viewpoint.ts";

const SAMPLE = fileURLToPath(new URL("../../sample-workspace", import.meta.url));
const FILES = readdirSync(SAMPLE, { recursive: true, encoding: "utf8" })
  .filter((name) => name.endsWith(".yaml"))
  .sort()
  .map((path) => ({ path: path.replaceAll("\\", "/"), lines: readFileSync(join(SAMPLE, path), "utf8").split("\n") }));

/** What may befall a line: it goes, comes twice, or one of its words becomes another. */
const blow = fc.record({
  file: fc.nat(FILES.length - 1),
  at: fc.double({ min: 0, max: 1, noNaN: true, maxExcluded: true }),
  how: fc.oneof(
    fc.constant("gone"),
    fc.constant("twice"),
    fc.constantFrom(
      "0",
      "-1",
      "1e9",
      "null",
      "[]",
      "{}",
      "''",
      "2026-02-31",
      "9999-12-31T23:59",
      "<b>&\"'</b>",
      "-104.4",
    ),
  ),
});

function battered(blows: readonly { file: number; at: number; how: string }[]): { path: string; text: string }[] {
  const lines = FILES.map((file) => [...file.lines]);
  for (const { file, at, how } of blows) {
    const all = lines[file]!;
    const i = Math.floor(at * all.length);
    const line = all[i];
    if (line === undefined) continue;
    if (how === "gone") all.splice(i, 1);
    else if (how === "twice") all.splice(i, 0, line);
    else all[i] = line.replace(/(: )([\w.-]+)(?!.*: [\w.-]+)/, `$1${how}`);
  }
  return FILES.map(({ path }, i) => ({ path, text: lines[i]!.join("\n") }));
}

describe("the season's pages of any book", () => {
  it("are written, and are well-formed", function () {
    this.timeout(60_000);
    fc.assert(
      fc.property(
        fc.array(blow, { maxLength: 40 }),
        fc.constantFrom("2026-08-20", "2026-11-25", "2020-01-01"),
        (blows, day) => {
          const asOf = parseDay(day)!;
          const { book } = openBook(battered(blows), { asOf, today: asOf, allSeasons: false });
          const outlines = fieldOutlines(book, new Map());
          const pages = [
            seasonPanel(seasonFacts(wholeBook(book), outlines)).html,
            ...["two-sloughs", "alder-bench"].map((grower) =>
              growerReport({ book, grower, outlines })
                .replace(/^<!DOCTYPE html>/, "")
                .replace(/<style>.*?<\/style>/s, ""),
            ),
          ];
          for (const page of pages) {
            // HTML's empty elements have no end tag.
            const xml = page.replace(/<(br|meta)([^>]*)>/g, "<$1$2/>");
            assert.equal(XMLValidator.validate(`<page>${xml}</page>`), true);
            assert.doesNotMatch(page, /NaN|undefined|Infinity|\[object|<b>/);
          }
        },
      ),
      { numRuns: 40 },
    );
  });
});

import { strict as assert } from "node:assert";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { inFolder, SMALL_BOOK, spadework } from "../support/command-line.ts";
import { readAnnotations, readJunit, readSarif } from "../support/report-readers.ts";

/** What a stranger could write into a record, hoping that some reader of a report obeys it. */
const HOSTILE = [
  "::error file=x,line=1::owned",
  "a\n::add-mask::b",
  "##[add-path]owned",
  "x%0A::error::owned",
  "<script>alert(1)</script>",
  "]]><failure/><!--",
  "[link](javascript:alert(1))",
  "[link](0) {0} {1}",
  "\u001B[31mred\u001B]0;title\u0007",
  "=cmd|' /C calc'!A1",
  "one\r\ntwo | three `four` \u2028 five",
  "a,b:c=d%",
  "\u202Etxt.exe",
  "__proto__",
  "\uFFFE\uFFFF & &amp; \"quoted\" 'single'",
];
const LONG_NOTE = "<b>::error::x</b> %0A ##[group] ".repeat(33_000);

/** Each text as an id of a field, as a name, as a reference, as a key and in a note of a megabyte. */
function hostileBook(): Record<string, string> {
  const quoted = HOSTILE.map((text) => JSON.stringify(text));
  const fields = quoted.map(
    (text, i) => `  - { id: ${text}, name: ${text}, note: ${text} }\n  - { id: f${i}, name: ${text} }\n`,
  );
  const visits = quoted.map(
    (text, i) =>
      `  - id: v${i}\n    field: ${text}\n    arrived: ${text}\n    purpose: ${text}\n    crew: [${text}, mo]\n    ${text}: ${text}\n` +
      `  - { id: w${i}, field: f${i}, arrived: 2026-08-14T09:40, purpose: other, crew: [mo], ground: wet, note: ${text} }\n`,
  );
  const long = `  - { id: long, field: ${JSON.stringify(LONG_NOTE)}, arrived: 2026-08-15T09:40, purpose: other, crew: [mo], ground: wet, note: ${JSON.stringify(LONG_NOTE)} }\n`;
  return {
    "season.yaml": SMALL_BOOK["season.yaml"]!,
    "all.fields.yaml": `fields:\n${fields.join("")}`,
    "<script> ::error, %0A[x](y).visits.yaml": `visits:\n${visits.join("")}${long}`,
  };
}

// eslint-disable-next-line no-control-regex
const CONTROLS = /[\u0000-\u0009\u000B-\u001F\u007F-\u009F\u2028-\u202E]/;

describe("a book that a stranger wrote to fool readers of reports", () => {
  const inBook = (
    work: (run: (format: string) => Promise<string>, folder: string, count: number) => Promise<void>,
  ): Promise<void> =>
    inFolder(hostileBook(), async (folder) => {
      const run = async (format: string): Promise<string> => {
        const environment = { GITHUB_STEP_SUMMARY: join(folder, "summary.md") };
        const { out, error } = await spadework(["check", "--format", format], { workingFolder: folder, environment });
        assert.equal(error, "");
        return out;
      };
      const { findings } = JSON.parse(await run("json")) as { findings: { message: string }[] };
      for (const text of ["error", "script", "javascript", "cmd"])
        assert.ok(
          findings.some(({ message }) => message.includes(text)),
          text,
        );
      await work(run, folder, findings.length);
    });

  it("leaves sarif valid, without links, place holders or control characters of the stranger's", () =>
    inBook(async (run, _folder, count) => {
      const { results } = readSarif(await run("sarif"));
      assert.equal(results.length, count);
      for (const { message, locations, relatedLocations = [] } of results) {
        for (const { text } of [message, ...relatedLocations.map((one) => one.message)]) {
          assert.ok(!CONTROLS.test(text), text);
          // SARIF 2.1.0, 3.11.6 and 3.11.5: a link is [text](place) without backslashes, a place holder {digits} alone.
          assert.ok(!/(?<!\\)\]\(/.test(text) && !/(?<!\{)\{\d+\}(?!\})/.test(text), text);
        }
        const { uri } = locations[0].physicalLocation.artifactLocation;
        assert.equal(new URL(uri, "https://example.test/book/").origin, "https://example.test");
        assert.match(uri, /^[\w.%~!*'()-]+(\/[\w.%~!*'()-]+)*$/);
      }
    }));

  it("leaves junit valid, with as many cases as findings", () =>
    inBook(async (run, _folder, count) => {
      const { testsuite } = await readJunit(await run("junit"));
      const cases = testsuite.flatMap(({ testcase }) => testcase).filter(({ line }) => line !== undefined);
      assert.equal(cases.length, count);
      for (const { name, failure } of cases) assert.ok(!CONTROLS.test(name) && !CONTROLS.test(failure?.message ?? ""));
      assert.ok(cases.some(({ name, failure }) => `${name} ${failure?.message ?? ""}`.includes("<script>")));
    }));

  it("leaves annotations one a line, each with its own file and nothing else", () =>
    inBook(async (run, _folder, count) => {
      const { annotations, otherLines } = readAnnotations(await run("github"));
      assert.equal(annotations.length, count);
      assert.ok(otherLines.length <= 3, otherLines.join("\n"));
      const files = new Set(annotations.map(({ properties }) => properties.file));
      assert.deepEqual([...files].sort(), ["<script> ::error, %0A[x](y).visits.yaml", "all.fields.yaml"]);
      for (const { properties, message } of annotations) {
        const names = Object.keys(properties).filter((name) => name !== "col" && name !== "endColumn");
        assert.deepEqual(names, ["file", "line", "endLine", "title"]);
        assert.match(properties.title, /^[a-z]+\/[a-z-]+$/);
        assert.ok(message.length < 40_000 && !CONTROLS.test(message), message.slice(0, 200));
      }
    }));

  it("leaves the step's summary a table of text, within what GitHub takes", () =>
    inBook(async (run, folder) => {
      await run("github");
      const summary = readFileSync(join(folder, "summary.md"), "utf8");
      assert.ok(Buffer.byteLength(summary) < 1024 * 1024);
      const rows = summary.split("\n").filter((row) => row.startsWith("|"));
      assert.ok(rows.length > 30);
      for (const row of rows) {
        assert.equal(row.match(/(?<!\\)\|/g)!.length, 5, row);
        assert.ok(!/(?<!\\)[<`]|(?<!\\)\]\(/.test(row) && !CONTROLS.test(row), row);
      }
    }));

  it("leaves text without an escape sequence or a command to a log, and a baseline that knows all of it", () =>
    inBook(async (run, folder) => {
      const text = await run("text");
      assert.ok(!CONTROLS.test(text.replaceAll("\n", "")));
      assert.ok(/^ *: :error file=x/m.test(text) && text.includes("# #[add-path]"));
      assert.deepEqual(readAnnotations(text).annotations, []);
      const check = (...args: string[]) => spadework(["check", ...args], { workingFolder: folder });
      assert.equal((await check("--write-baseline", "known.json")).code, 0);
      assert.ok(readFileSync(join(folder, "known.json")).length < 200_000);
      const { code, out } = await check("--baseline", "known.json", "--strict");
      assert.equal(code, 0);
      assert.match(out, /^Nothing to mend/);
    }));
});

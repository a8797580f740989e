import { strict as assert } from "node:assert";
import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { parseDay } from "../../server/src/base/days.ts";
import { runCommandLine } from "../../server/src/cli/main.ts";

const ROOT = fileURLToPath(new URL("../../", import.meta.url));
const PAGE = new URL("../../sample-workspace/README.md", import.meta.url);

interface JsonFinding {
  readonly code: string;
  readonly level: string;
  readonly file: string;
  readonly range: { readonly start: { readonly line: number } };
  readonly message: string;
  readonly record: { readonly kind: string; readonly id: string };
}

/** What the command line finds in the sample on a day, as it prints it. */
async function checkSample(day: string, ...more: readonly string[]): Promise<readonly JsonFinding[]> {
  const today = parseDay(day);
  assert(today !== undefined);
  let printed = "";
  const console = {
    out: (text: string) => void (printed += text),
    error: (text: string) => assert.fail(`nothing belongs on standard error: ${text}`),
    hasColour: false,
    showsProgress: false,
  };
  const args = ["check", "sample-workspace", "--format", "json", ...more];
  assert.equal(await runCommandLine(args, { console, today, workingFolder: ROOT, environment: {} }), 1);
  return (JSON.parse(printed) as { findings: JsonFinding[] }).findings;
}

/** The cells of one row of the table, but for what happened, which only a person can tell. */
function cellsOf(finding: JsonFinding): readonly string[] {
  const { file, range, record, code, level, message } = finding;
  return [`${file}:${range.start.line + 1}`, record.id, code, level, message];
}

interface Row {
  readonly cells: readonly string[];
  readonly whatHappened: string;
}

/** The table of the sample's own page, in the order in which it stands there. */
function rowsOfThePage(): readonly Row[] {
  const rows: Row[] = [];
  for (const line of readFileSync(PAGE, "utf8").split("\n")) {
    const columns = line.split(/(?<!\\)\|/).map((column) => column.trim().replaceAll("\\|", "|"));
    if (!/^`[^`]+:\d+`$/.test(columns[1] ?? "")) continue;
    const [, place, record, whatHappened = "", code, level, message] = columns;
    const bare = [place, record, code, level, message].map((cell) => (cell ?? "").replace(/^`([^`]*)`$/, "$1"));
    rows.push({ cells: bare, whatHappened });
  }
  return rows;
}

/** Puts what the tool says now into the page; what happened is kept, by record and code. */
function rewritePage(findings: readonly JsonFinding[]): void {
  const stories = new Map(rowsOfThePage().map(({ cells, whatHappened }) => [`${cells[1]} ${cells[2]}`, whatHappened]));
  const lines = findings.map((finding) => {
    const [place, record, code, level, message] = cellsOf(finding).map((cell) => cell.replaceAll("|", "\\|"));
    return `| \`${place}\` | \`${record}\` | ${stories.get(`${record} ${code}`) ?? "?"} | \`${code}\` | ${level} | ${message} |`;
  });
  const text = readFileSync(PAGE, "utf8").split("\n");
  const first = text.findIndex((line) => line.startsWith("| --- "));
  const last = text.findLastIndex((line) => line.startsWith("| "));
  writeFileSync(PAGE, [...text.slice(0, first + 1), ...lines, ...text.slice(last + 1)].join("\n"));
}

describe("the sample season", () => {
  it("holds exactly the troubles that its page lists, in the tool's words", async () => {
    const findings = await checkSample("2026-11-25");
    if (process.env.UPDATE_SAMPLE_PAGE) rewritePage(findings);
    const rows = rowsOfThePage();
    assert(rows.length >= 30);
    assert.deepEqual(
      findings.map(cellsOf),
      rows.map(({ cells }) => cells),
      "UPDATE_SAMPLE_PAGE=1 writes the page anew",
    );
    for (const { cells, whatHappened } of rows) assert(whatHappened.length > 1, `${cells[1]} has no story`);
    const [, ...told] = /In all (\d+) errors, (\d+) warnings and (\d+) /.exec(readFileSync(PAGE, "utf8")) ?? [];
    const counted = ["error", "warning", "information"].map(
      (level) => findings.filter((one) => one.level === level).length,
    );
    assert.deepEqual(told.map(Number), counted);
  });

  it("says the same on every later day", async () => {
    const told = async (day: string) =>
      (await checkSample(day)).map((one) => `${one.file} ${one.code} ${one.record.id}`);
    const autumn = await told("2026-11-25");
    assert.deepEqual(await told("2026-11-01"), autumn);
    assert.deepEqual(await told("2031-03-02"), autumn);
  });

  it("is worth looking at in the middle of the season", async () => {
    const found = await checkSample("2026-11-25", "--as-of", "2026-08-20");
    const codes = new Set(found.map((one) => one.code));
    assert(codes.has("scouting/window-open"));
    for (const early of ["sample/overdue", "scouting/window-missed", "trace/notice-missing"])
      assert(!codes.has(early), early);
    assert(!found.some((one) => one.record.id.startsWith("v-09") || one.record.id.startsWith("c-1")));
  });
});

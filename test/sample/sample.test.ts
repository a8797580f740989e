import { strict as assert } from "node:assert";
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { parseDay } from "../../server/src/base/days.ts";
import { runCommandLine } from "../../server/src/cli/main.ts";

const ROOT = fileURLToPath(new URL("../../", import.meta.url));

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
  assert.equal(await runCommandLine(args, { console, today, workingFolder: ROOT }), 1);
  return (JSON.parse(printed) as { findings: JsonFinding[] }).findings;
}

/** One row of the table: place, record, code, level, message. */
function row(finding: JsonFinding): string {
  const { file, range, record, code, level, message } = finding;
  return [`${file}:${range.start.line + 1}`, record.id, code, level, message].join(" | ");
}

/** The table of the sample's own page, in the order in which it stands there. */
function rowsOfTheReadme(): readonly string[] {
  const text = readFileSync(new URL("../../sample-workspace/README.md", import.meta.url), "utf8");
  const rows: string[] = [];
  for (const line of text.split("\n")) {
    const cells = line.split(/(?<!\\)\|/).map((cell) => cell.trim().replaceAll("\\|", "|"));
    if (!/^`[^`]+:\d+`$/.test(cells[1] ?? "")) continue;
    const [, place, record, , code, level, message] = cells.map((cell) => cell.replace(/^`([^`]*)`$/, "$1"));
    rows.push([place, record, code, level, message].join(" | "));
  }
  return rows;
}

describe("the sample season", () => {
  it("holds exactly the troubles that its page lists, in the tool's words", async () => {
    const listed = rowsOfTheReadme();
    assert(listed.length > 30);
    const found = (await checkSample("2026-11-25")).map(row);
    assert.deepEqual([...found].sort(), [...listed].sort());
  });

  it("says the same on every later day", async () => {
    const told = async (day: string) => (await checkSample(day)).map((one) => `${one.file} ${one.code} ${one.record.id}`);
    const autumn = await told("2026-11-25");
    assert.deepEqual(await told("2026-11-01"), autumn);
    assert.deepEqual(await told("2031-03-02"), autumn);
  });

  it("is worth looking at in the middle of the season", async () => {
    const found = await checkSample("2026-11-25", "--as-of", "2026-08-20");
    const codes = new Set(found.map((one) => one.code));
    assert(codes.has("scouting/window-open"));
    for (const early of ["sample/overdue", "scouting/window-missed", "trace/notice-missing"]) assert(!codes.has(early), early);
    assert(!found.some((one) => one.record.id.startsWith("v-09") || one.record.id.startsWith("c-1")));
  });
});

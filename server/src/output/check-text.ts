import { LineIndex } from "../base/line-index.ts";
import { LEVELS, type Level } from "../records/finding.ts";
import type { Colours } from "./colours.ts";
import { sourceInWords } from "../rules/rule-sources.ts";
import { printable, withoutLogCommands } from "./printable.ts";
import type { CheckReport, ReportedFinding } from "./report.ts";
import { plural } from "../base/words.ts";
import { baselineRows, levelCounts, nothingInWords, sinceInWords } from "./summary-words.ts";

const EXCERPT_WIDTH = 110;
const MOST_UNDERLINED = 80;
const MOST_RELATED = 8;
const MOST_FIELDS = 5;
const MARKS: Readonly<Record<Level, string>> = { error: "x", warning: "!", information: "i", hint: "." };

/** The findings for a person at a terminal: each with its line, the place underlined, and what to do; then a summary. */
export function checkText(report: CheckReport, colours: Colours): string {
  const lineIndexes = new Map<string, LineIndex>();
  const indexOf = (finding: ReportedFinding): LineIndex => {
    let index = lineIndexes.get(finding.file);
    if (!index) lineIndexes.set(finding.file, (index = new LineIndex(finding.sourceText)));
    return index;
  };
  const blocks = report.findings.map((finding) => findingText(finding, indexOf(finding), colours));
  return withoutLogCommands([...blocks, summaryText(report, colours)].join("\n"));
}

function findingText(finding: ReportedFinding, lines: LineIndex, colours: Colours): string {
  const { code, level, file, range, message, related } = finding;
  const at = `${printable(file)}:${range.start.line + 1}:${range.start.character + 1}`;
  const rows = [
    `${colours.strong(at)} ${colours.level(level, `${MARKS[level]} ${level}`)} ${colours.faint(printable(code))}`,
  ];
  const excerpt = excerptOf(finding, lines);
  if (excerpt) {
    const number = String(range.start.line + 1);
    const margin = " ".repeat(number.length);
    rows.push(`  ${colours.faint(`${number} |`)} ${excerpt.line}`);
    rows.push(
      `  ${colours.faint(`${margin} |`)} ${" ".repeat(excerpt.from)}${colours.level(level, "^".repeat(excerpt.width))}`,
    );
  }
  rows.push(`  ${printable(message)}`);
  for (const one of related.slice(0, MOST_RELATED)) {
    const place = `${printable(one.file)}:${one.range.start.line + 1}:${one.range.start.character + 1}`;
    rows.push(`  ${colours.faint(`- ${place}`)} ${printable(one.message)}`);
  }
  if (related.length > MOST_RELATED) rows.push(`  - and ${related.length - MOST_RELATED} more places`);
  for (const source of finding.sources) rows.push(`  ${colours.faint(printable(sourceInWords(source)))}`);
  return `${rows.join("\n")}\n`;
}

/** The source line around the place, cut to a readable width, with the columns to underline. */
function excerptOf(
  { range, sourceText }: ReportedFinding,
  lines: LineIndex,
): { line: string; from: number; width: number } | undefined {
  const start = lines.lineStart(range.start.line);
  const end = lines.lineStart(range.start.line + 1);
  const raw = sourceText.slice(start, end).replace(/[\r\n]+$/, "");
  if (raw === "") return undefined;
  const first = range.start.character;
  const last = range.end.line === range.start.line ? range.end.character : raw.length;
  const cutFrom = first > EXCERPT_WIDTH - 30 ? first - 30 : 0;
  const cut = raw.slice(cutFrom, cutFrom + EXCERPT_WIDTH);
  const before = cutFrom > 0 ? "… " : "";
  const after = cutFrom + EXCERPT_WIDTH < raw.length ? " …" : "";
  const width = Math.max(1, Math.min(last - first, MOST_UNDERLINED, Math.max(1, cut.length - (first - cutFrom))));
  return { line: `${before}${printable(cut)}${after}`, from: before.length + first - cutFrom, width };
}

function summaryText(report: CheckReport, colours: Colours): string {
  const { findings, counts, read, asOf } = report;
  const looked = `${plural(read.records, "record")} in ${plural(read.files, "file")}, as of ${asOf}`;
  const baseline = baselineRows(report).map((row) => `${printable(row)}\n`);
  if (findings.length === 0)
    return [`${colours.good(printable(nothingInWords(report)))}: ${looked}.\n`, ...baseline].join("");
  const parts = levelCounts(counts, (level, text) => colours.level(level, text));
  const isNew = printable(sinceInWords(report));
  const rows = [`${plural(findings.length, "finding")}${isNew}: ${parts.join(", ")}. ${looked}.`];
  const worstLevel = LEVELS.find((level) => counts[level] > 0)!;
  const first = findings.find((finding) => finding.level === worstLevel)!;
  rows.push(`Start with ${printable(first.file)}:${first.range.start.line + 1}: ${printable(first.message)}`);
  const fields = worstFields(findings);
  if (fields.length > 0) {
    const more = fields.length > MOST_FIELDS ? `, and ${plural(fields.length - MOST_FIELDS, "more field")}` : "";
    rows.push(`Fields with the most to mend: ${fields.slice(0, MOST_FIELDS).map(printable).join(", ")}${more}.`);
  }
  const codes = new Set(findings.filter((finding) => finding.level === worstLevel).map((finding) => finding.code));
  const [example] = codes;
  rows.push(`spadework explain ${example} tells what the check looks at and why.`);
  return [`${rows.join("\n")}\n`, ...baseline].join("");
}

/** Fields by their worst findings, each with its counts in words. */
function worstFields(findings: readonly ReportedFinding[]): string[] {
  const byField = new Map<string, Record<Level, number>>();
  for (const { fieldName, level } of findings) {
    if (fieldName === undefined || level === "information" || level === "hint") continue;
    const counts = byField.get(fieldName) ?? { error: 0, warning: 0, information: 0, hint: 0 };
    counts[level]++;
    byField.set(fieldName, counts);
  }
  return [...byField]
    .sort(([nameA, a], [nameB, b]) => b.error - a.error || b.warning - a.warning || (nameA < nameB ? -1 : 1))
    .map(([name, counts]) => {
      const words = (["error", "warning"] as const)
        .filter((level) => counts[level] > 0)
        .map((level) => plural(counts[level], level));
      return `${name} (${words.join(", ")})`;
    });
}

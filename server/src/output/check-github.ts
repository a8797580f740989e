import { plural } from "../base/words.ts";
import { LEVELS, type Level } from "../records/finding.ts";
import { markdownText } from "./markdown-text.ts";
import { printable, withoutLogCommands } from "./printable.ts";
import type { CheckReport, ReportedFinding } from "./report.ts";
import { baselineRows, levelCounts, nothingInWords, sinceInWords } from "./summary-words.ts";

const KINDS: Readonly<Record<Level, "error" | "warning" | "notice">> = {
  error: "error",
  warning: "warning",
  information: "notice",
  hint: "notice",
};
/** GitHub shows this many annotations of each kind in one step, and keeps the rest in the log. */
const SHOWN_OF_EACH_KIND = 10;
const MOST_RELATED = 8;
/** A line of a log that is longer would be cut. */
const LONGEST_MESSAGE = 4000;
/** GitHub refuses a step's summary of more than 1 MiB. */
const MOST_ROWS = 250;
const LONGEST_CELL = 300;

/**
 * The findings as annotations of a GitHub workflow, worst first, and a line that tells how many of them GitHub will show.
 * https://docs.github.com/en/actions/reference/workflows-and-actions/workflow-commands
 */
export function checkGithub(report: CheckReport): string {
  const rows = worstFirst(report.findings).map(annotation);
  return [...rows, ...closingRows(report), ""].join("\n");
}

/** The summary of the step, in Markdown: the counts, and the worst findings as a table. */
export function githubStepSummary(report: CheckReport): string {
  const { findings } = report;
  const rows = worstFirst(findings)
    .slice(0, MOST_ROWS)
    .map(({ level, file, range, code, message }) => {
      const cells = [level, `${file}:${range.start.line + 1}`, code, message];
      return `| ${cells.map((cell) => markdownText(cell, LONGEST_CELL)).join(" | ")} |`;
    });
  const table =
    rows.length === 0 ? [] : ["", "| level | place | check | what to do |", "| --- | --- | --- | --- |", ...rows];
  const more = findings.length - rows.length;
  const left = more > 0 ? ["", `${plural(more, "more finding")} in the log of this step.`] : [];
  const [known, gone, ...entries] = baselineRows(report);
  const list = entries.map((entry) => `- ${markdownText(entry.slice(2), LONGEST_CELL)}`);
  const baseline = [known, gone].filter((row) => row !== undefined).flatMap((row) => ["", markdownText(row)]);
  if (list.length > 0) baseline.push("", ...list);
  return ["## Spadework", "", markdownText(countsRow(report), LONGEST_CELL), ...baseline, ...table, ...left, ""].join(
    "\n",
  );
}

function worstFirst(findings: readonly ReportedFinding[]): ReportedFinding[] {
  return [...findings].sort((a, b) => LEVELS.indexOf(a.level) - LEVELS.indexOf(b.level));
}

function annotation({ code, level, file, range: { start, end }, message, related }: ReportedFinding): string {
  const isOneLine = start.line === end.line;
  const properties: Record<string, string | number> = {
    file,
    line: start.line + 1,
    // Columns are taken only within one line; the last one is within the range.
    ...(isOneLine && { col: start.character + 1 }),
    endLine: end.line + 1,
    ...(isOneLine && { endColumn: Math.max(start.character + 1, end.character) }),
    title: code,
  };
  const written = Object.entries(properties).map(([name, value]) => `${name}=${escapedProperty(String(value))}`);
  const places = related.slice(0, MOST_RELATED).map((one) => {
    return `${printable(one.file)}:${one.range.start.line + 1} ${printable(one.message)}`;
  });
  if (related.length > MOST_RELATED) places.push(`and ${related.length - MOST_RELATED} more places`);
  const words = [printable(message), ...places].map((row) => shortened(row));
  return `::${KINDS[level]} ${written.join(",")}::${escapedData(words.join("\n"))}`;
}

function shortened(text: string): string {
  return text.length > LONGEST_MESSAGE ? `${text.slice(0, LONGEST_MESSAGE - 1)}…` : text;
}

function escapedData(text: string): string {
  return text.replaceAll("%", "%25").replaceAll("\r", "%0D").replaceAll("\n", "%0A");
}

function escapedProperty(text: string): string {
  return escapedData(printable(text)).replaceAll(":", "%3A").replaceAll(",", "%2C");
}

function closingRows(report: CheckReport): string[] {
  const counts = { error: 0, warning: 0, notice: 0 };
  for (const { level } of report.findings) counts[KINDS[level]]++;
  const shown = Object.values(counts).reduce((sum, count) => sum + Math.min(count, SHOWN_OF_EACH_KIND), 0);
  const rest = report.findings.length - shown;
  const limit =
    rest > 0
      ? [
          `GitHub shows the first ${SHOWN_OF_EACH_KIND} annotations of each kind in a step, so ${shown} of these findings; the other ${rest} ${rest === 1 ? "stands" : "stand"} in this log only.`,
        ]
      : [];
  const [counted, ...baseline] = [countsRow(report), ...baselineRows(report)].map((row) =>
    withoutLogCommands(printable(row)),
  );
  return [counted!, ...limit, ...baseline];
}

function countsRow(report: CheckReport): string {
  const { findings, counts, read, asOf } = report;
  const looked = `${plural(read.records, "record")} in ${plural(read.files, "file")}, as of ${asOf}`;
  if (findings.length === 0) return `${nothingInWords(report)}: ${looked}.`;
  return `${plural(findings.length, "finding")}${sinceInWords(report)}: ${levelCounts(counts).join(", ")}. ${looked}.`;
}

import type { Level } from "../records/finding.ts";
import { printable } from "./printable.ts";
import { wellFormed } from "./relative-uri.ts";
import type { CheckReport, ReportedFinding } from "./report.ts";

/** Errors and warnings are failures; what is for information passes, with its words as output. */
const FAILING: readonly Level[] = ["error", "warning"];

/**
 * The findings as a JUnit report, for services that show test results: a suite for each file that was read, a case for each
 * finding. A file without a finding is one case that passed.
 */
export function checkJunit({ findings, files }: CheckReport): string {
  const byFile = new Map<string, ReportedFinding[]>(files.map((file) => [file, []]));
  for (const finding of findings) {
    const list = byFile.get(finding.file);
    if (list) list.push(finding);
    else byFile.set(finding.file, [finding]);
  }
  const suites = [...byFile].map(([file, found]) => suiteXml(file, found));
  const tests = suites.reduce((sum, suite) => sum + suite.tests, 0);
  const failures = suites.reduce((sum, suite) => sum + suite.failures, 0);
  const counts = attributes({ name: "Spadework", tests, failures, errors: 0 });
  const xml = suites.map((suite) => suite.xml).join("");
  return `<?xml version="1.0" encoding="UTF-8"?>\n<testsuites${counts}>\n${xml}</testsuites>\n`;
}

function suiteXml(
  file: string,
  findings: readonly ReportedFinding[],
): { xml: string; tests: number; failures: number } {
  const names = new Map<string, number>();
  const cases =
    findings.length === 0
      ? [`    <testcase${attributes({ name: "nothing to mend", classname: "spadework", file })}/>\n`]
      : findings.map((finding) => caseXml(finding, uniqueName(finding, names)));
  const failures = findings.filter(({ level }) => FAILING.includes(level)).length;
  const counts = attributes({ name: file, tests: cases.length, failures, errors: 0, skipped: 0 });
  return { xml: `  <testsuite${counts}>\n${cases.join("")}  </testsuite>\n`, tests: cases.length, failures };
}

function caseXml({ code, level, file, range, message, related }: ReportedFinding, name: string): string {
  const line = range.start.line + 1;
  const head = attributes({ name, classname: code.replaceAll("/", "."), file, line });
  const places = [
    `${file}:${line}:${range.start.character + 1}`,
    ...related.map((one) => `${one.file}:${one.range.start.line + 1}:${one.range.start.character + 1} ${one.message}`),
  ];
  const words = `${xmlText(message)}\n${places.map(xmlText).join("\n")}`;
  const body = FAILING.includes(level)
    ? `<failure${attributes({ type: level, message })}>${words}</failure>`
    : `<system-out>${words}</system-out>`;
  return `    <testcase${head}>${body}</testcase>\n`;
}

/** Named by record and place, not by line, so that a service knows the case again; of equal ones the second is `(2)`. */
function uniqueName({ code, record, place }: ReportedFinding, names: Map<string, number>): string {
  const where = [record.kind, record.id, place].filter((part) => part !== "").join("/");
  const name = `${code} ${where}`;
  const count = (names.get(name) ?? 0) + 1;
  names.set(name, count);
  return count === 1 ? name : `${name} (${count})`;
}

function attributes(values: Readonly<Record<string, string | number>>): string {
  return Object.entries(values)
    .map(([name, value]) => ` ${name}="${xmlText(String(value)).replaceAll('"', "&quot;")}"`)
    .join("");
}

/** Text as XML 1.0 can hold it: what it has no character for becomes U+FFFD. */
function xmlText(text: string): string {
  return wellFormed(printable(text))
    .replace(/[\uFFFE\uFFFF]/g, "\uFFFD")
    .replaceAll("&", "&amp;")
    .replaceAll("<", "&lt;")
    .replaceAll(">", "&gt;");
}

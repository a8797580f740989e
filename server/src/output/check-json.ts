import type { CheckReport, ReportedFinding } from "./report.ts";

/** The findings as JSON, two spaces deep, keys in a fixed order: the same book gives the same bytes. */
export function checkJson(report: CheckReport): string {
  const { asOf, findings, counts } = report;
  return `${JSON.stringify({ as_of: asOf, findings: findings.map(findingJson), summary: counts }, null, 2)}\n`;
}

export function findingJson({
  code,
  level,
  file,
  range,
  message,
  record,
  related,
}: Omit<ReportedFinding, "sourceText" | "fieldName">): object {
  return { code, level, file, range, message, record: { kind: record.kind, id: record.id }, related };
}

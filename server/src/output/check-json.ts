import type { CheckReport, ReportedFinding } from "./report.ts";

/** The findings as JSON, two spaces deep, keys in a fixed order: the same book gives the same bytes. */
export function checkJson(report: CheckReport): string {
  const { asOf, findings, counts, baseline } = report;
  const value = { as_of: asOf, findings: findings.map(findingJson), summary: counts, ...(baseline && { baseline }) };
  return `${JSON.stringify(value, null, 2)}\n`;
}

export function findingJson({
  code,
  level,
  file,
  range,
  message,
  record,
  related,
}: Omit<ReportedFinding, "sourceText" | "fieldName" | "fingerprint" | "sources">): object {
  return { code, level, file, range, message, record: { kind: record.kind, id: record.id }, related };
}

import { RISK_STATUSES } from "../book/field-status.ts";
import { LEVELS } from "../records/finding.ts";
import type { ReportedField } from "./change-report.ts";
import type { ReportedFinding } from "./report.ts";

/** Worst first: what the field has become, then how far it came from; fields that are gone last. */
export function worstFieldsFirst(fields: readonly ReportedField[]): ReportedField[] {
  const rank = (standing: ReportedField["after"]): number =>
    standing ? RISK_STATUSES.indexOf(standing.status) : RISK_STATUSES.length;
  return [...fields].sort(
    (a, b) =>
      Number(rank(b.before) > rank(b.after)) - Number(rank(a.before) > rank(a.after)) ||
      rank(a.after) - rank(b.after) ||
      rank(b.before) - rank(a.before),
  );
}

export function worstFindingsFirst(findings: readonly ReportedFinding[]): ReportedFinding[] {
  return [...findings].sort((a, b) => LEVELS.indexOf(a.level) - LEVELS.indexOf(b.level));
}

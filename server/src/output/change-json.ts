import { isStatusChange, type ChangeReport } from "./change-report.ts";
import { findingJson } from "./check-json.ts";

/** What changed as JSON. A field that is new has no status before (null), one that is gone none after. */
export function changeJson({ base, gained, lost, fields, records }: ChangeReport): string {
  const value = {
    base,
    findings: { gained: gained.map(findingJson), lost: lost.map(findingJson) },
    status: fields
      .filter(isStatusChange)
      .map(({ field, before, after }) => ({ field, from: before?.status ?? null, to: after?.status ?? null })),
    records: { added: records.added, changed: records.changed, removed: records.removed },
  };
  return `${JSON.stringify(value, null, 2)}\n`;
}

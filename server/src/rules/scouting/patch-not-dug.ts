import { dayInWords, figure } from "../../base/words.ts";
import type { FieldHistory, FieldVisit } from "../../book/field-history.ts";
import type { PatchRecord } from "../../schema/facts.ts";
import { fieldRule } from "../rule.ts";

export default fieldRule({
  code: "scouting/patch-not-dug",
  level: "warning",
  check(field, book, report) {
    const dug = patchesDug(field);
    for (const visit of field.visits) {
      if (!book.isInSight(visit.record)) continue;
      visit.record.facts.patches?.forEach((patch, index) => {
        if (!patch.id || isDug(patch.id, visit, dug)) return;
        report({
          place: { record: visit.record, pointer: ["patches", index, "id"], part: "value" },
          message:
            `patch ${patch.id}${sizeOf(patch)}, seen on ${field.name} on ${dayInWords(visit.day, book.seasonYear)}, was not ` +
            "dug; dig plants in it and look at the roots, for above ground clubroot looks like other diseases",
        });
      });
    }
  },
});

function sizeOf(patch: PatchRecord): string {
  return patch.area_m2 === undefined ? "" : ` (${figure(patch.area_m2)} m²)`;
}

/** For each `visit#patch` the visits with a dig that names it. */
function patchesDug(field: FieldHistory): ReadonlyMap<string, readonly FieldVisit[]> {
  const dug = new Map<string, FieldVisit[]>();
  for (const visit of field.visits) {
    for (const { patch } of visit.digs) {
      if (!patch) continue;
      const name = patch.includes("#") ? patch : `${visit.record.id}#${patch}`;
      const visits = dug.get(name);
      if (visits) visits.push(visit);
      else dug.set(name, [visit]);
    }
  }
  return dug;
}

/** Dug on the visit that saw it, or on a later one of the same year. */
function isDug(patch: string, seen: FieldVisit, dug: ReadonlyMap<string, readonly FieldVisit[]>): boolean {
  const visits = dug.get(`${seen.record.id}#${patch}`) ?? [];
  return visits.some((visit) => visit === seen || (visit.year === seen.year && visit.arrived >= seen.arrived));
}

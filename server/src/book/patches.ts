import type { FieldHistory, FieldVisit } from "./field-history.ts";
import type { PatchRecord } from "../schema/facts.ts";

/** A patch that a visit saw and that was not dug, on that visit or a later one of the season. */
export interface UndugPatch {
  readonly seen: FieldVisit;
  readonly patch: PatchRecord;
  /** Its place in the visit's `patches`. */
  readonly index: number;
}

/** In the order in which they were seen; patches without an id cannot be named by a dig and are left out. */
export function undugPatches(field: FieldHistory): UndugPatch[] {
  const dug = patchesDug(field);
  return field.visits.flatMap((seen) =>
    (seen.record.facts.patches ?? []).flatMap((patch, index) =>
      !patch.id || isDug(patch.id, seen, dug) ? [] : { seen, patch, index },
    ),
  );
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

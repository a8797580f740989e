import type { FieldHistory, FieldVisit } from "./field-history.ts";

/** A field that is closed from the end of a spraying until a minute that is no longer part of it. */
export interface Closure {
  readonly spraying: FieldVisit;
  readonly hours: number;
  /** Minutes, see `base/days.ts`. */
  readonly until: number;
}

/** By the re-entry intervals that the field's sprayings record, in the order in which the sprayings ended. */
export function closuresOf(field: FieldHistory): Closure[] {
  const closures = field.visits.flatMap((spraying) => {
    const { purpose, re_entry_hours: hours } = spraying.record.facts;
    if (purpose !== "spraying" || hours === undefined || !(hours > 0 && Number.isFinite(hours))) return [];
    return { spraying, hours, until: Math.ceil(spraying.left + hours * 60) };
  });
  return closures.sort((a, b) => a.spraying.left - b.spraying.left);
}

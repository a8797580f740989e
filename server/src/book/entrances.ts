import { greatCircleMetres } from "../base/great-circle.ts";
import type { DigRecord, EntranceRecord } from "../schema/facts.ts";
import type { RecordPlace } from "../records/finding.ts";
import type { FieldHistory } from "./field-history.ts";

/**
 * How far from an entrance a dig was, in metres: the nearest of what the keeper wrote (`metres_in`) and what the positions
 * of the dig and of the field's entrances give. Undefined where neither is known.
 */
export function metresFromEntrance(dig: DigRecord, field: FieldHistory): number | undefined {
  const distances = dig.metres_in === undefined ? [] : [dig.metres_in];
  if (dig.position) {
    for (const { position } of field.record?.facts.entrances ?? []) {
      if (position) distances.push(greatCircleMetres(dig.position, position));
    }
  }
  return distances.length > 0 ? Math.min(...distances) : undefined;
}

/** Whether a dig counts as one at an entrance: it is called so, or lies within reach of one (metres, the edge included). */
export function isAtEntrance(dig: DigRecord, field: FieldHistory, reach: number): boolean {
  return dig.place === "entrance" || (metresFromEntrance(dig, field) ?? Infinity) <= reach;
}

export interface EntranceOfField {
  /** What people call it. */
  readonly name: string;
  readonly place: RecordPlace;
}

/** The entrance by which machines usually come in, or a field's only one; undefined where the record does not say. */
export function usualEntrance(field: FieldHistory): EntranceOfField | undefined {
  const { record } = field;
  const entrances: readonly EntranceRecord[] = record?.facts.entrances ?? [];
  const index = entrances.length === 1 ? 0 : entrances.findIndex((entrance) => entrance.usual === true);
  const entrance = entrances[index];
  const name = entrance?.name ?? entrance?.id;
  if (!record || !name) return undefined;
  return { name, place: { record, pointer: ["entrances", index, "id"], part: "value" } };
}

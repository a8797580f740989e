import type { Pointer } from "../records/finding.ts";
import { isKind, type FactRecord } from "../records/record.ts";

/** What an id in a record may stand for. */
export type ReferredKind =
  "field" | "entrance" | "equipment" | "carrier" | "crew" | "grower" | "lab" | "visit" | "dig" | "patch";

/** An id written in one record that another record (or another part of the same one) defines. */
export interface Reference {
  readonly kind: ReferredKind;
  readonly id: string;
  readonly pointer: Pointer;
  /** For an entrance the field it belongs to, for a dig or patch the visit; "" means the record itself. */
  readonly within?: string;
}

export const BOOTS_PREFIX = "boots/";

/** Every reference a record makes, in the order of the format. */
export function referencesOf(record: FactRecord): Reference[] {
  const found: Reference[] = [];
  const add = (kind: ReferredKind, id: string | undefined, pointer: Pointer, within?: string): void => {
    // An empty id is a value that could not be read; its own finding says so.
    if (id) found.push(within === undefined ? { kind, id, pointer } : { kind, id, pointer, within });
  };
  if (isKind(record, "fields")) add("grower", record.facts.grower, ["grower"]);
  else if (isKind(record, "rotations")) add("field", record.facts.field, ["field"]);
  else if (isKind(record, "visits")) {
    const { facts } = record;
    add("field", facts.field, ["field"]);
    if (facts.field) add("entrance", facts.entrance, ["entrance"], facts.field);
    facts.crew?.forEach((id, i) => add("crew", id, ["crew", i]));
    facts.equipment?.forEach((id, i) => add("equipment", id, ["equipment", i]));
    facts.digs?.forEach((dig, i) => {
      const hash = dig.patch?.lastIndexOf("#") ?? -1;
      if (dig.patch && hash >= 0)
        add("patch", dig.patch.slice(hash + 1), ["digs", i, "patch"], dig.patch.slice(0, hash));
      else add("patch", dig.patch, ["digs", i, "patch"], "");
    });
  } else if (isKind(record, "cleanings")) {
    const { facts } = record;
    add("field", facts.field, ["field"]);
    facts.equipment?.forEach((id, i) => add("carrier", id, ["equipment", i]));
    add("crew", facts.by, ["by"]);
  } else if (isKind(record, "samples")) {
    const { facts } = record;
    add("field", facts.field, ["field"]);
    add("visit", facts.visit, ["visit"]);
    if (facts.visit) add("dig", facts.dig, ["dig"], facts.visit);
    add("lab", facts.lab, ["lab"]);
  }
  return found;
}

/** The field that a record belongs to, where it names one. */
export function fieldIdOfRecord(record: FactRecord): string | undefined {
  return isKind(record, "fields") ? record.facts.id : record.field;
}

/** The facts of every kind of file, as the rest of the house imports them. */
export * from "./record-facts.ts";
export * from "./region-facts.ts";

import type {
  CleaningRecord,
  EquipmentRecord,
  FieldRecord,
  RotationRecord,
  SampleRecord,
  VisitRecord,
} from "./record-facts.ts";

/** The record that each kind's files hold a list of. */
export interface FactsOfKind {
  fields: FieldRecord;
  equipment: EquipmentRecord;
  rotations: RotationRecord;
  visits: VisitRecord;
  cleanings: CleaningRecord;
  samples: SampleRecord;
}

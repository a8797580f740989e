import type { FileKind } from "../schema/kinds.ts";
import type {
  CleaningRecord,
  EquipmentRecord,
  FieldRecord,
  RegionPack,
  RotationRecord,
  SampleRecord,
  SeasonRecord,
  VisitRecord,
} from "../schema/facts.ts";

/** The facts of each kind of file. A weather file has none: its days are read apart. */
export interface FactsOf {
  fields: FieldRecord;
  equipment: EquipmentRecord;
  rotations: RotationRecord;
  visits: VisitRecord;
  cleanings: CleaningRecord;
  samples: SampleRecord;
  season: SeasonRecord;
  region: RegionPack;
  weather: Record<string, never>;
}

/**
 * One record's facts: what it says, and in which file, but not where. The object itself is the record's identity: as long
 * as an edit leaves the facts as they were, the same object stands for the record.
 */
export interface FactRecord<K extends FileKind = FileKind> {
  readonly kind: K;
  /** Path of its file from the book's root, with forward slashes. */
  readonly file: string;
  /** As written; a rotation's is its field, `season.yaml`'s and a record's without one is empty. */
  readonly id: string;
  readonly facts: FactsOf[K];
}

export function isKind<K extends FileKind>(record: FactRecord, kind: K): record is FactRecord<K> {
  return (record.kind as FileKind) === kind;
}

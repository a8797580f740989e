import { parseMinute } from "../base/days.ts";
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
  /** The field that it names under `field`, as visits, rotations, samples and some cleanings do. */
  readonly field: string | undefined;
  /** When a visit began, or a cleaning was done, in minutes as in `base/days.ts`; undefined where that is no time. */
  readonly began: number | undefined;
  /** When it was over: a visit that gives no such time, or one before it began, counts as over when it began. */
  readonly ended: number | undefined;
}

/** Times are read here, once, since all that is made of a book asks for them. */
export function factRecord<K extends FileKind>(kind: K, file: string, id: string, facts: object): FactRecord<K> {
  const { arrived, left, at, field } = facts as { arrived?: string; left?: string; at?: string; field?: string };
  const began = minuteOf(kind === "visits" ? arrived : kind === "cleanings" ? at : undefined);
  const leftAt = kind === "visits" ? minuteOf(left) : undefined;
  const ended = began !== undefined && leftAt !== undefined && leftAt > began ? leftAt : began;
  return { kind, file, id, facts, field, began, ended } as FactRecord<K>;
}

function minuteOf(text: string | undefined): number | undefined {
  return text === undefined ? undefined : parseMinute(text);
}

export function isKind<K extends FileKind>(record: FactRecord, kind: K): record is FactRecord<K> {
  return (record.kind as FileKind) === kind;
}

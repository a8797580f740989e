import type { CropRecord, DigRecord } from "../schema/facts.ts";
import type { RecordPlace } from "../records/finding.ts";
import type { FactRecord } from "../records/record.ts";

/** One crop of a field's rotation. */
export interface FieldCrop {
  readonly record: FactRecord<"rotations">;
  /** Its place in the record's `crops`. */
  readonly index: number;
  readonly facts: CropRecord;
  /** That of its harvest. */
  readonly year: number;
  /** The region counts the crop as a host of clubroot. */
  readonly isHost: boolean;
  /** A host crop, or volunteers of one: a year that feeds the disease. */
  readonly isHostYear: boolean;
  /** Days since 1970-01-01; undefined where not recorded, or later than the as-of day. */
  readonly seeded: number | undefined;
  readonly swathed: number | undefined;
}

/** One visit to a field; times in minutes, see `base/days.ts`. `left` is `arrived` where it was not recorded. */
export interface FieldVisit {
  readonly record: FactRecord<"visits">;
  readonly arrived: number;
  readonly left: number;
  readonly day: number;
  /** Of its season. */
  readonly year: number;
  readonly isScouting: boolean;
  readonly digs: readonly DigRecord[];
}

/** One sample; days since 1970-01-01. What is dated later than the as-of day has not happened yet. */
export interface FieldSample {
  readonly record: FactRecord<"samples">;
  readonly taken: number | undefined;
  readonly sent: number | undefined;
  readonly reported: number | undefined;
  /** Undefined while the lab has not answered. */
  readonly finding: "detected" | "not detected" | "inconclusive" | undefined;
}

/** Since when a field is known to be infested, and the record that says so. */
export interface Confirmation {
  readonly day: number;
  readonly place: RecordPlace;
}

/** Everything the book knows of one field on its as-of day, in order of time. */
export interface FieldHistory {
  readonly id: string;
  /** Undefined when records speak of a field that no file defines. */
  readonly record: FactRecord<"fields"> | undefined;
  /** The field's name, else its id. */
  readonly name: string;
  readonly crops: readonly FieldCrop[];
  readonly visits: readonly FieldVisit[];
  readonly samples: readonly FieldSample[];
  readonly confirmed: Confirmation | undefined;
}

/** The host crop of a year: the last one written, should there be several. */
export function hostCropOf(field: FieldHistory, year: number): FieldCrop | undefined {
  return field.crops.findLast((crop) => crop.year === year && crop.isHost);
}

/** Plants of a dig that were rated 1 or more. */
export function plantsWithGalls(dig: DigRecord): number {
  const ratings = dig.ratings;
  return ratings ? (ratings[1] ?? 0) + (ratings[2] ?? 0) + (ratings[3] ?? 0) : 0;
}

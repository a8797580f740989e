import type { CleanDownResult } from "../soil/clean-down.ts";
import type { Pointer } from "../records/finding.ts";
import type { FactRecord } from "../records/record.ts";

/** A carrier on a field; times in minutes, see `base/days.ts`. */
export interface CarrierStay {
  readonly visit: FactRecord<"visits">;
  readonly field: string;
  readonly arrived: number;
  readonly left: number;
  /** Where the visit says that the carrier took part: `["equipment", 0]`, or `["footwear"]` for boots. */
  readonly pointer: Pointer;
}

export interface CarrierCleaning {
  /** A cleaning, or a visit whose footwear was disinfected. */
  readonly record: FactRecord<"cleanings"> | FactRecord<"visits">;
  readonly at: number;
  readonly result: CleanDownResult;
}

/** All stays and clean-downs of one carrier up to the as-of day, each list in order of time. */
export interface CarrierHistory {
  readonly id: string;
  /** How a sentence calls it: `the dig-kit`, `the boots of mo`. */
  readonly label: string;
  readonly equipment: FactRecord<"equipment"> | undefined;
  readonly stays: readonly CarrierStay[];
  readonly cleanings: readonly CarrierCleaning[];
}

/** The clean-downs within a stretch of time, both ends included. */
export function cleaningsBetween(carrier: CarrierHistory, from: number, to: number): CarrierCleaning[] {
  return carrier.cleanings.filter((cleaning) => cleaning.at >= from && cleaning.at <= to);
}

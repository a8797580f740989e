import type { Pointer } from "../records/finding.ts";
import type { FactRecord } from "../records/record.ts";

export interface CrewVisit {
  readonly visit: FactRecord<"visits">;
  readonly field: string;
  readonly arrived: number;
  readonly left: number;
  readonly pointer: Pointer;
}

/** All visits of one member of the crew up to the as-of day, in order of time. */
export interface CrewHistory {
  readonly id: string;
  readonly name: string;
  readonly visits: readonly CrewVisit[];
}

import type { Outline } from "../book/outlines.ts";
import type { LonLat } from "../schema/facts.ts";

/** What a plan is asked for. */
export interface PlanQuestion {
  /** The first day; since 1970-01-01. */
  readonly from: number;
  readonly days: number;
  /** Ids of those who walk, each by themselves. */
  readonly crew: readonly string[];
  /** Where every day begins and ends; left out, the middle of the fields to walk is taken for it. */
  readonly home?: LonLat | undefined;
  /** Where samples are handed in; left out, they are handed in on the way, without a detour. */
  readonly lab?: LonLat | undefined;
  /** Of mix for one clean-down, in place of the region's figure. */
  readonly litres?: number | undefined;
  readonly outlines?: ReadonlyMap<string, Outline> | undefined;
}

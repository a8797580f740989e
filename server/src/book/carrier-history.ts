import type { CleanDownResult } from "../soil/clean-down.ts";
import type { FactRecord } from "../records/record.ts";

/** A carrier on a field; times in minutes, see `base/days.ts`. */
export interface CarrierStay {
  readonly visit: FactRecord<"visits">;
  readonly field: string;
  readonly arrived: number;
  readonly left: number;
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
  const found: CarrierCleaning[] = [];
  for (let i = firstCleaningFrom(carrier, from); i < carrier.cleanings.length; i++) {
    const cleaning = carrier.cleanings[i]!;
    if (cleaning.at > to) break;
    found.push(cleaning);
  }
  return found;
}

/** The stay on a field after which no full clean-down of the carrier is on record; undefined where it is clean. */
export function lastStayNotCleaned(carrier: CarrierHistory): CarrierStay | undefined {
  const last = carrier.stays.at(-1);
  return last && cleaningsBetween(carrier, last.left, Infinity).some(({ result }) => result.full) ? undefined : last;
}

/** A carrier's way from one field to another, by two successive stays. */
export interface CarrierMove {
  readonly from: CarrierStay;
  readonly to: CarrierStay;
  /** From leaving the one field to arriving on the other, both ends included. */
  readonly cleanings: readonly CarrierCleaning[];
}

/** A stay that begins before the one before it has ended is no move: one of the two is a mistake that is told elsewhere. */
export function movesBetweenFields(carrier: CarrierHistory): CarrierMove[] {
  return carrier.stays.slice(1).flatMap((to, i) => {
    const from = carrier.stays[i]!;
    if (from.field === to.field || to.arrived < from.left) return [];
    return { from, to, cleanings: cleaningsBetween(carrier, from.left, to.arrived) };
  });
}

/** The partial cleaning that left least soil; of several, the one that lacks least, and of those the last. */
export function bestPartialCleaning(cleanings: readonly CarrierCleaning[]): CarrierCleaning | undefined {
  let best: CarrierCleaning | undefined;
  for (const cleaning of cleanings) {
    if (cleaning.result.full) continue;
    const { soilLeft, shortcomings } = cleaning.result;
    const isWorse =
      best &&
      (soilLeft > best.result.soilLeft ||
        (soilLeft === best.result.soilLeft && shortcomings.length > best.result.shortcomings.length));
    if (!isWorse) best = cleaning;
  }
  return best;
}

/** The share of soil that is left after all of them, 0 to 1. */
export function soilLeftAfter(cleanings: readonly CarrierCleaning[]): number {
  return cleanings.reduce((left, cleaning) => left * cleaning.result.soilLeft, 1);
}

function firstCleaningFrom({ cleanings }: CarrierHistory, from: number): number {
  let low = 0;
  let high = cleanings.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (cleanings[middle]!.at < from) low = middle + 1;
    else high = middle;
  }
  return low;
}

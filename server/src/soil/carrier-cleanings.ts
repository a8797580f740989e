import type { CleanDown, CleaningBetween } from "./soil-records.ts";

/** A share of nothing has no logarithm; it is counted as this many decades, more than any share that has one. */
const DECADES_OF_NOTHING = 1000;
const STEPS_PER_DECADE = 1_000_000;

/**
 * How much a partial cleaning takes off, for comparing: millionths of a decade, a whole number. Sums of whole numbers are
 * exact in any order, where products of shares are not, so that equal amounts of soil compare as equal.
 */
export function soilLoss(soilLeft: number): number {
  return Math.round((soilLeft > 0 ? -Math.log10(soilLeft) : DECADES_OF_NOTHING) * STEPS_PER_DECADE);
}

/** The clean-downs of one carrier, in order of time, for questions of what lies between two moments (both included). */
export class CarrierCleanings {
  readonly #full: readonly number[];
  readonly #partial: readonly CleaningBetween[];
  readonly #partialAt: readonly number[];
  /** The loss of the first n partial cleanings, for each n. */
  readonly #lossOfFirst: readonly number[];
  readonly #firstStretch: number;

  constructor(cleanDowns: readonly CleanDown[], firstStretch: number) {
    this.#firstStretch = firstStretch;
    const at = cleanDowns.filter((each) => each.full).map((each) => each.at);
    this.#full = [...new Set(at)].sort((a, b) => a - b);
    this.#partial = cleanDowns
      .filter((each) => !each.full)
      .map(({ cleaning, at, soilLeft }) => ({ cleaning, at, soilLeft }))
      // The order of those in one minute decides the last digit of their product, which is to be the same however the records
      // are split over files.
      .sort((a, b) => a.at - b.at || b.soilLeft - a.soilLeft || a.cleaning - b.cleaning);
    this.#partialAt = this.#partial.map((each) => each.at);
    const lossOfFirst = [0];
    for (const [i, each] of this.#partial.entries()) lossOfFirst.push(lossOfFirst[i]! + soilLoss(each.soilLeft));
    this.#lossOfFirst = lossOfFirst;
  }

  get stretchCount(): number {
    return this.#full.length + 1;
  }

  /** The stretch between two full clean-downs that a moment lies in, or -1 at the very minute of one. */
  stretchAt(minute: number): number {
    const before = countBefore(this.#full, minute);
    return this.#full[before] === minute ? -1 : this.#firstStretch + before;
  }

  /** The soil lost to partial cleanings earlier than a moment. */
  lossBefore(minute: number): number {
    return this.#lossOfFirst[countBefore(this.#partialAt, minute)]!;
  }

  /** The soil lost to partial cleanings up to a moment, those at it included. */
  lossThrough(minute: number): number {
    return this.#lossOfFirst[countThrough(this.#partialAt, minute)]!;
  }

  partialBetween(from: number, to: number): readonly CleaningBetween[] {
    return this.#partial.slice(countBefore(this.#partialAt, from), countThrough(this.#partialAt, to));
  }

  /** The share of soil left by the partial cleanings between two moments, 0 to 1. */
  shareLeftBetween(from: number, to: number): number {
    const after = countThrough(this.#partialAt, to);
    let share = 1;
    for (let i = countBefore(this.#partialAt, from); i < after; i++) share *= this.#partial[i]!.soilLeft;
    return share;
  }
}

function countBefore(sorted: readonly number[], limit: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle]! < limit) low = middle + 1;
    else high = middle;
  }
  return low;
}

function countThrough(sorted: readonly number[], limit: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle]! <= limit) low = middle + 1;
    else high = middle;
  }
  return low;
}

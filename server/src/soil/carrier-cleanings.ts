import { NEVER } from "./minutes.ts";
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
  /** The minutes of full ones, each once. */
  readonly #full: number[] = [];
  readonly #partial: CleaningBetween[] = [];
  #partialAt: readonly number[] = [];
  /** The loss of the first n partial cleanings, for each n. */
  readonly #lossOfFirst: number[] = [0];
  readonly #firstStretch: number;

  /** @param cleanDowns in order of time; what has no finite time is left out */
  constructor(cleanDowns: readonly CleanDown[], firstStretch: number) {
    this.#firstStretch = firstStretch;
    for (let cleaning = 0; cleaning < cleanDowns.length; cleaning++) {
      const { at, result } = cleanDowns[cleaning]!;
      if (!Number.isFinite(at)) continue;
      if (!result.full) this.#partial.push({ cleaning, at, soilLeft: result.soilLeft });
      else if (this.#full[this.#full.length - 1] !== at) this.#full.push(at);
    }
    if (this.#partial.length === 0) return;
    // The order of those in one minute decides the last digit of their product, which is to be the same however the records
    // are split over files.
    this.#partial.sort((a, b) => a.at - b.at || b.soilLeft - a.soilLeft || a.cleaning - b.cleaning);
    this.#partialAt = this.#partial.map(({ at }) => at);
    let loss = 0;
    for (const { soilLeft } of this.#partial) this.#lossOfFirst.push((loss += soilLoss(soilLeft)));
  }

  get stretchCount(): number {
    return this.#full.length + 1;
  }

  /** The stretch between two full clean-downs that a moment lies in, or -1 at the very minute of one. */
  stretchAt(minute: number): number {
    const before = countBefore(this.#full, minute);
    return this.#full[before] === minute ? -1 : this.#firstStretch + before;
  }

  /**
   * For each of many moments, those from `first` to before `end` of a list, the stretch it lies in and the soil lost to partial
   * cleanings up to so many minutes `after` it. Moments near one another are found in few steps.
   */
  locate(moments: Int32Array, first: number, end: number, into: Located, after = 0): void {
    const full = this.#full;
    const partialAt = this.#partialAt;
    let before = 0;
    let partials = 0;
    for (let i = first; i < end; i++) {
      const moment = moments[i]!;
      before = countNear(full, moment, before);
      into.stretch[i] = full[before] === moment || moment === NEVER ? -1 : this.#firstStretch + before;
      if (partialAt.length === 0) continue;
      partials = countNear(partialAt, moment + after, partials);
      into.loss[i] = this.#lossOfFirst[partials]!;
    }
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

/** Where moments lie among a carrier's clean-downs; see `CarrierCleanings.locate`. */
export interface Located {
  readonly stretch: Int32Array;
  readonly loss: Float64Array;
}

/** As `countBefore`, in few steps where the answer is near one that is known. */
function countNear(sorted: readonly number[], limit: number, known: number): number {
  let count = known;
  for (let step = 0; step < NEAR; step++) {
    if (count < sorted.length && sorted[count]! < limit) count++;
    else if (count > 0 && sorted[count - 1]! >= limit) count--;
    else return count;
  }
  return countBefore(sorted, limit);
}

/** More steps than this take longer than to look for it anew. */
const NEAR = 5;

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

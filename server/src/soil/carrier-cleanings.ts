import { keptMinute, LATEST, NEVER } from "./minutes.ts";
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

/**
 * The clean-downs of one carrier, in order of time, for questions of what lies between two moments (both included). The lists of
 * minutes end with `LATEST`, which no moment is, so that whoever goes along them need not look for their end.
 */
export class CarrierCleanings {
  readonly #cleanDowns: readonly CleanDown[];
  /** The minutes of full ones, as `keptMinute` keeps them; one may stand there twice. */
  readonly #full: Int32Array;
  /** The places of partial ones. */
  readonly #partial: readonly number[];
  readonly #partialAt: Int32Array;
  /** The loss of the first n partial cleanings, for each n. */
  readonly #lossOfFirst: Float64Array;
  readonly #firstStretch: number;

  /** @param cleanDowns in order of time; what has no finite time is left out */
  constructor(cleanDowns: readonly CleanDown[], firstStretch: number) {
    const { full, partial } = fullAndPartial(cleanDowns);
    partial.sort((a, b) => compareInTime(cleanDowns[a]!, cleanDowns[b]!) || a - b);
    this.#cleanDowns = cleanDowns;
    this.#full = minutesOf(full, cleanDowns);
    this.#partial = partial;
    this.#partialAt = minutesOf(partial, cleanDowns);
    this.#lossOfFirst = lossOfFirst(partial, cleanDowns);
    this.#firstStretch = firstStretch;
  }

  /** One more than there are full ones: the list's own end counts. */
  get stretchCount(): number {
    return this.#full.length;
  }

  /** The stretch between two full clean-downs that a moment lies in, or -1 at the very minute of one. */
  stretchAt(minute: number): number {
    const moment = keptMinute(minute);
    const before = countBefore(this.#full, moment);
    return this.#full[before] === moment ? -1 : this.#firstStretch + before;
  }

  /**
   * For each of many moments, those from `first` to before `end` of a list, the stretch it lies in and the soil lost to partial
   * cleanings up to so many minutes `after` it. Moments near one another are found in few steps.
   */
  locate(moments: Int32Array, first: number, end: number, into: Located, after: number): void {
    const { stretch, loss } = into;
    const full = this.#full;
    const partialAt = this.#partialAt;
    const lossOfFirst = this.#lossOfFirst;
    let before = 0;
    let partials = 0;
    for (let i = first; i < end; i++) {
      const moment = moments[i]!;
      before = countNear(full, moment, before);
      partials = countNear(partialAt, moment + after, partials);
      stretch[i] = full[before] === moment || moment === NEVER ? -1 : this.#firstStretch + before;
      loss[i] = lossOfFirst[partials]!;
    }
  }

  partialBetween(from: number, to: number): readonly CleaningBetween[] {
    return this.#partial.slice(this.#partialsBefore(from), this.#partialsThrough(to)).map((cleaning) => {
      const { at, result } = this.#cleanDowns[cleaning]!;
      return { cleaning, at, soilLeft: result.soilLeft };
    });
  }

  /** The share of soil left by the partial cleanings between two moments, 0 to 1. */
  shareLeftBetween(from: number, to: number): number {
    const after = this.#partialsThrough(to);
    let share = 1;
    for (let i = this.#partialsBefore(from); i < after; i++)
      share *= this.#cleanDowns[this.#partial[i]!]!.result.soilLeft;
    return share;
  }

  #partialsBefore(minute: number): number {
    return countBefore(this.#partialAt, keptMinute(minute));
  }

  #partialsThrough(minute: number): number {
    return countBefore(this.#partialAt, keptMinute(minute) + 1);
  }
}

/** Where moments lie among a carrier's clean-downs; see `CarrierCleanings.locate`. */
export interface Located {
  readonly stretch: Int32Array;
  readonly loss: Float64Array;
}

/** The places of the full clean-downs and of the partial ones. */
function fullAndPartial(cleanDowns: readonly CleanDown[]): { full: number[]; partial: number[] } {
  const full: number[] = [];
  const partial: number[] = [];
  for (let place = 0; place < cleanDowns.length; place++) {
    const { at, result } = cleanDowns[place]!;
    if (Number.isFinite(at)) (result.full ? full : partial).push(place);
  }
  return { full, partial };
}

/**
 * The order of partial cleanings in one minute decides the last digit of their product, which is to be the same however the
 * records are split over files.
 */
function compareInTime(a: CleanDown, b: CleanDown): number {
  return a.at - b.at || b.result.soilLeft - a.result.soilLeft;
}

function minutesOf(places: readonly number[], cleanDowns: readonly CleanDown[]): Int32Array {
  const minutes = new Int32Array(places.length + 1);
  for (let i = 0; i < places.length; i++) minutes[i] = keptMinute(cleanDowns[places[i]!]!.at);
  minutes[places.length] = LATEST;
  return minutes;
}

function lossOfFirst(places: readonly number[], cleanDowns: readonly CleanDown[]): Float64Array {
  const losses = new Float64Array(places.length + 1);
  for (let i = 0; i < places.length; i++)
    losses[i + 1] = losses[i]! + soilLoss(cleanDowns[places[i]!]!.result.soilLeft);
  return losses;
}

/** As `countBefore`, in few steps where the answer is near one that is known. */
function countNear(sorted: Int32Array, limit: number, known: number): number {
  let count = known;
  for (let step = 0; step < NEAR; step++) {
    if (sorted[count]! < limit) count++;
    else if (count > 0 && sorted[count - 1]! >= limit) count--;
    else return count;
  }
  return countBefore(sorted, limit);
}

/** More steps than this take longer than to look for it anew. */
const NEAR = 5;

function countBefore(sorted: Int32Array, limit: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle]! < limit) low = middle + 1;
    else high = middle;
  }
  return low;
}

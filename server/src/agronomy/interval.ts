/**
 * Two-sided intervals for a proportion.
 *
 * Sources: Clopper & Pearson 1934, Biometrika 26:404–413 (exact; from memory); Wilson 1927, J. Am. Stat. Assoc.
 * 22:209–212 (score, without continuity correction), both as compared by Newcombe 1998, Stat. Med. 17:857–872.
 */
import betaQuantile from "@stdlib/stats-base-dists-beta-quantile";
import normalQuantile from "@stdlib/stats-base-dists-normal-quantile";
import {
  calculated,
  cannot,
  countProblem,
  firstProblem,
  numberText,
  shareProblem,
  type Calculated,
} from "./calculated.ts";

/** Shares from 0 to 1, `lower` ≤ `upper`. */
export interface Interval {
  readonly lower: number;
  readonly upper: number;
}

export interface ProportionIntervals {
  readonly proportion: number;
  /** Holds the true share at least as often as the confidence says, whatever it is. */
  readonly clopperPearson: Interval;
  /** Narrower; holds it about as often as the confidence says. */
  readonly wilson: Interval;
}

/**
 * Both intervals for `count` of `total`, at a confidence from 0 to 1 (at 1: everything, 0 to 1).
 * Errors: a total of 0, a count above the total, anything but whole numbers.
 */
export function proportionIntervals(count: number, total: number, confidence: number): Calculated<ProportionIntervals> {
  const problem = firstProblem(
    countProblem("number counted in all", total, 1),
    countProblem("number found", count),
    shareProblem("confidence", confidence),
  );
  if (problem !== undefined) return cannot(problem);
  if (count > total) return cannot(`${numberText(count)} found are more than the ${numberText(total)} counted in all.`);
  return calculated({
    proportion: count / total,
    clopperPearson: clopperPearson(count, total, confidence),
    wilson: wilson(count, total, confidence),
  });
}

/** Whole numbers, 0 ≤ `count` ≤ `total`, `total` ≥ 1; the callers of this room have checked. */
export function clopperPearson(count: number, total: number, confidence: number): Interval {
  const tail = (1 - confidence) / 2;
  if (tail === 0) return { lower: 0, upper: 1 };
  // At the ends the beta quantile is a power, which keeps every digit.
  const endOfNone = (): number => -Math.expm1(Math.log(tail) / total);
  const lower = count === 0 ? 0 : count === total ? 1 - endOfNone() : betaQuantile(tail, count, total - count + 1);
  // By the mirror, since 1 less a small tail would lose the tail's digits.
  const upper = count === total ? 1 : count === 0 ? endOfNone() : 1 - betaQuantile(tail, total - count, count + 1);
  return { lower, upper };
}

/** Whole numbers, 0 ≤ `count` ≤ `total`, `total` ≥ 1; the callers of this room have checked. */
export function wilson(count: number, total: number, confidence: number): Interval {
  const z = -normalQuantile((1 - confidence) / 2, 0, 1);
  if (z === Infinity) return { lower: 0, upper: 1 };
  const share = count / total;
  const middle = share + (z * z) / (2 * total);
  const reach = z * Math.sqrt((share * (1 - share)) / total + (z * z) / (4 * total * total));
  const width = 1 + (z * z) / total;
  return {
    lower: count === 0 ? 0 : Math.max(0, (middle - reach) / width),
    upper: count === total ? 1 : Math.min(1, (middle + reach) / width),
  };
}

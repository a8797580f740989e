/**
 * Pooled samples: several plants or soil cores in one test.
 *
 * Sources: the estimate 1 − (1 − x/n)^(1/k), in general use; Burrows 1987, Phytopathology 77:363–365 (the correction
 * for its bias; from memory). The interval is Clopper & Pearson's for the share of positive pools, carried over.
 */
import {
  amountProblem,
  calculated,
  cannot,
  countProblem,
  firstProblem,
  numberText,
  shareProblem,
  type Calculated,
} from "./calculated.ts";
import { clopperPearson, type Interval } from "./interval.ts";

/** Shares of single units (plants, cores) infected, 0 to 1. */
export interface PoolEstimate {
  readonly estimate: number;
  /** Burrows' estimate, which is less biased upwards. */
  readonly burrows: number;
  readonly interval: Interval;
}

/** The chance that a pool of `size` units holds an infected one: 1 − (1 − p)^k. */
export function chancePoolIsPositive(incidence: number, size: number): Calculated<number> {
  const problem = firstProblem(shareProblem("incidence", incidence), countProblem("number of units in a pool", size));
  if (problem !== undefined) return cannot(problem);
  return calculated(size === 0 ? 0 : -Math.expm1(size * Math.log1p(-incidence)));
}

/**
 * The incidence in single units from `positive` of `pools` pools of `size` units each.
 * All pools positive: the estimate is 1, and says little. Errors: no pools; more positive than pools; a size of 0.
 */
export function incidenceFromPools(
  positive: number,
  pools: number,
  size: number,
  confidence: number,
): Calculated<PoolEstimate> {
  const problem = firstProblem(
    countProblem("number of pools", pools, 1),
    countProblem("number of positive pools", positive),
    countProblem("number of units in a pool", size, 1),
    shareProblem("confidence", confidence),
  );
  if (problem !== undefined) return cannot(problem);
  if (positive > pools) {
    return cannot(`${numberText(positive)} positive pools are more than the ${numberText(pools)} tested.`);
  }
  const inUnits = (shareOfPools: number): number => -Math.expm1(Math.log1p(-shareOfPools) / size);
  const exact = clopperPearson(positive, pools, confidence);
  const correction = (size - 1) / (2 * size);
  return calculated({
    estimate: inUnits(positive / pools),
    burrows: inUnits(positive / (pools + correction)),
    interval: { lower: inUnits(exact.lower), upper: inUnits(exact.upper) },
  });
}

/**
 * What a pool does to a count: the spores per gram of a pool of `size` equal parts of which `infested` hold
 * `sporesPerG` and the others none, and whether a lab with that detection limit would see it. Where it would not, a
 * negative is weak evidence. Errors: more infested parts than parts.
 */
export function dilutionInPool(
  sporesPerG: number,
  infested: number,
  size: number,
  detectionLimitPerG: number,
): Calculated<{ sporesPerG: number; detectable: boolean }> {
  const problem = firstProblem(
    amountProblem("count of spores", sporesPerG, true),
    countProblem("number of parts in a pool", size, 1),
    countProblem("number of infested parts", infested),
    amountProblem("lab's detection limit", detectionLimitPerG, true),
  );
  if (problem !== undefined) return cannot(problem);
  if (infested > size) return cannot("There cannot be more infested parts than parts in the pool.");
  const diluted = sporesPerG * (infested / size);
  return calculated({ sporesPerG: diluted, detectable: diluted > 0 && diluted >= detectionLimitPerG });
}

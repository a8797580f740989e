/**
 * The chance that plants dug miss the disease: the tails under the sample sizes of `plants.ts`.
 *
 * Sources: ISPM 31 "Methodologies for sampling of consignments" (FAO 2008), sampling with and without replacement;
 * Cameron & Baldock 1998, Prev. Vet. Med. 34:1–17 (a test that misses some, in a finite population; from memory);
 * Hughes & Madden 1993, Phytopathology 83:759–763 (beta-binomial).
 */

/**
 * Chance that none of `plants` dug at random from a very large field is noticed as infected: (1 − p·Se)^n.
 * Shares from 0 to 1; 0 plants: 1.
 */
export function missInVeryLargeField(plants: number, incidence: number, sensitivity: number): number {
  if (plants === 0) return 1;
  return Math.exp(plants * Math.log1p(-incidence * sensitivity));
}

/**
 * Chance that none of `plants` dug is noticed as infected, when `infected` of the `population` plants are, no plant is
 * dug twice, and each infected plant dug is noticed with probability `sensitivity` independently of the others:
 * Σ over y of P(y infected among the dug; hypergeometric) · (1 − Se)^y.
 *
 * Whole numbers, `plants` ≤ `population`, `infected` ≤ `population`.
 */
export function missInFiniteField(plants: number, infected: number, population: number, sensitivity: number): number {
  if (sensitivity === 0) return 1;
  if (sensitivity < 1) return missOfSlips(plants, infected, population, sensitivity);
  if (plants > population - infected) return 0; // More dug than there are healthy plants.
  return chanceOfNone(plants, infected, population);
}

/** C(N−d, n) / C(N, n) as a product of min(d, n) factors: no factorial, so no loss of digits. */
function chanceOfNone(plants: number, infected: number, population: number): number {
  const larger = Math.max(plants, infected);
  const factors = Math.min(plants, infected);
  let log = 0;
  for (let i = 0; i < factors && log > NOTHING; i++) log += Math.log1p(-larger / (population - i));
  return Math.exp(log);
}

/** Chances below e^NOTHING count as none: far below any confidence that can be told from 1. */
const NOTHING = -200;

/** The mean of (1 − Se)^y over hypergeometric y, with weights relative to the likeliest y, where 0 < Se < 1. */
function missOfSlips(plants: number, infected: number, population: number, sensitivity: number): number {
  const logSlip = Math.log1p(-sensitivity);
  // Being dug makes one infected plant less likely to be dug with another, so independent digging bounds the mean.
  if (infected * Math.log1p((-sensitivity * plants) / population) < NOTHING) return 0;
  const healthy = population - infected;
  const fewest = Math.max(0, plants - healthy);
  const most = Math.min(plants, infected);
  const likeliest = Math.floor(((plants + 1) * (infected + 1)) / (population + 2));
  const start = Math.min(most, Math.max(fewest, likeliest));
  /** P(y + 1) / P(y) */
  const ratio = (y: number): number => ((plants - y) * (infected - y)) / ((y + 1) * (healthy - plants + y + 1));

  let weights = 1;
  let logWeight = 0;
  for (let y = start; y < most && logWeight > NEGLIGIBLE; y++) {
    logWeight += Math.log(ratio(y));
    weights += Math.exp(logWeight);
  }
  // Above the likeliest y the missed share only falls; its sum is taken downwards, where it may rise first.
  let missed = 1;
  let logMissed = 0;
  for (let y = start; y < most && logMissed > NEGLIGIBLE; y++) {
    logMissed += Math.log(ratio(y)) + logSlip;
    missed += Math.exp(logMissed);
  }
  let largest = 0;
  logWeight = 0;
  for (let y = start - 1; y >= fewest; y--) {
    logWeight -= Math.log(ratio(y));
    weights += Math.exp(logWeight);
    logMissed = logWeight + (y - start) * logSlip;
    if (logMissed > largest) {
      missed = missed * Math.exp(largest - logMissed) + 1;
      largest = logMissed;
    } else {
      if (logWeight < NEGLIGIBLE && logMissed < largest + NEGLIGIBLE) break;
      missed += Math.exp(logMissed - largest);
    }
  }
  return Math.min(1, (missed / weights) * Math.exp(largest + start * logSlip));
}

/** A term e^NEGLIGIBLE of the largest no longer changes a sum in double precision. */
const NEGLIGIBLE = -45;

/** Whether a chance to miss is small enough for a confidence; a tie is enough, whatever its last digits say. */
export function isEnough(miss: number, confidence: number): boolean {
  return miss <= (1 - confidence) * (1 + 1e-12);
}

/** `value` rounded to the nearest whole number when it is whole but for its last digits, else by `round`. */
export function roundedCount(value: number, round: (value: number) => number): number {
  const nearest = Math.round(value);
  return Math.abs(value - nearest) <= 1e-12 * Math.abs(value) ? nearest : round(value);
}

/**
 * Chance that none of the `plants` at one stop is noticed as infected when infected plants stand together: the share
 * infected at a stop is beta distributed with mean `incidence` and intra-cluster correlation ρ from 0 (spread evenly)
 * to 1 (a stop is all infected or not at all). With θ = ρ/(1−ρ): Σ over y of P(y; beta-binomial) · (1 − Se)^y.
 */
export function missAtClusteredStop(
  plants: number,
  incidence: number,
  correlation: number,
  sensitivity: number,
): number {
  if (plants === 0 || incidence === 0 || sensitivity === 0) return 1;
  if (correlation === 0) return missInVeryLargeField(plants, incidence, sensitivity);
  const missWhenAllInfected = sensitivity === 1 ? 0 : Math.exp(plants * Math.log1p(-sensitivity));
  if (incidence === 1) return missWhenAllInfected;
  if (correlation === 1) return 1 - incidence + incidence * missWhenAllInfected;
  const theta = correlation / (1 - correlation);
  let logTerm = 0; // P(0 infected) = Π (1 − p + iθ) / (1 + iθ)
  for (let i = 0; i < plants; i++) {
    // Each form keeps the digits that the other would lose.
    logTerm +=
      incidence < 0.5
        ? Math.log1p(-incidence / (1 + i * theta))
        : Math.log((1 - incidence + i * theta) / (1 + i * theta));
  }
  let miss = Math.exp(logTerm);
  if (sensitivity === 1) return miss;
  const logSlip = Math.log1p(-sensitivity);
  for (let y = 0; y < plants; y++) {
    const ratio = ((plants - y) * (incidence + y * theta)) / ((y + 1) * (1 - incidence + (plants - y - 1) * theta));
    logTerm += Math.log(ratio) + logSlip;
    miss += Math.exp(logTerm);
  }
  return Math.min(1, miss);
}

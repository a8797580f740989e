/**
 * The probability that a field is free of clubroot at the design incidence, season after season. Decision support: it
 * is as good as the digs, the sensitivities and the risks of introduction that are put into it.
 *
 * Source: Martin, Cameron & Greiner 2007, Prev. Vet. Med. 79:71–97 (from memory):
 * P(free) = (1 − π) / (1 − π·Se); next season's π' = 1 − P(free)·(1 − p_intro).
 *
 * All probabilities and shares run from 0 to 1.
 */
import {
  calculated,
  cannot,
  countProblem,
  firstProblem,
  percentText,
  shareProblem,
  type Calculated,
} from "./calculated.ts";
import { plantsNeeded, type LookingForDisease } from "./plants.ts";

/** One arrival of soil that may be infested. */
export interface SoilArrival {
  /** The share of the soil left on the carrier after its cleanings. */
  readonly shareOfSoilLeft: number;
  /** What the arrival is known by, to show the term: a chain, a carrier, a day. */
  readonly label?: string | undefined;
}

export interface Introduction {
  readonly probability: number;
  /** In the order of the arrivals: each one's own probability, share · p. */
  readonly terms: readonly { readonly arrival: SoilArrival; readonly probability: number }[];
}

/**
 * The probability that disease was brought in: 1 − Π(1 − share of soil left · `perCarriage`), with `perCarriage` the
 * probability that one carriage of uncleaned infested soil brings it. No arrivals: 0.
 */
export function probabilityOfIntroduction(
  arrivals: readonly SoilArrival[],
  perCarriage: number,
): Calculated<Introduction> {
  const problem = firstProblem(
    shareProblem("probability that one carriage brings the disease", perCarriage),
    ...arrivals.map((arrival) => shareProblem("share of soil left", arrival.shareOfSoilLeft)),
  );
  if (problem !== undefined) return cannot(problem);
  const terms = arrivals.map((arrival) => ({ arrival, probability: arrival.shareOfSoilLeft * perCarriage }));
  const logSpared = terms.reduce((sum, term) => sum + Math.log1p(-term.probability), 0);
  // 0 − … keeps a field without arrivals at 0, not −0.
  return calculated({ probability: 0 - Math.expm1(logSpared), terms });
}

/** What one season adds. */
export interface SeasonOfScouting {
  readonly season: number;
  /** The probability that the disease was brought in since the season before (0 for the first, when in the prior). */
  readonly introduction: number;
  /** The probability that the season's digs, all clean, would have found it: 0 when none were made. */
  readonly detection: number;
}

export interface SeasonOfFreedom extends SeasonOfScouting {
  /** π: the probability of being infested before the season's digs, the introduction counted in. */
  readonly priorInfested: number;
  /** P(free) after the season's clean digs. */
  readonly probabilityFree: number;
}

export interface FreedomChain {
  /** After the last season; with no seasons, 1 − the prior. */
  readonly probabilityFree: number;
  /** Every term, in the order of the seasons. */
  readonly seasons: readonly SeasonOfFreedom[];
}

/**
 * Follows a field through seasons in which nothing was found, from `priorInfested` before the first.
 * A field certainly infested stays so, whatever is dug clean, unless the digs could not have missed it: that is an
 * error, as the two contradict each other.
 */
export function freedomChain(priorInfested: number, seasons: readonly SeasonOfScouting[]): Calculated<FreedomChain> {
  const problem = firstProblem(
    shareProblem("probability of being infested before the first season", priorInfested),
    ...seasons.flatMap((one) => [
      shareProblem("probability of introduction", one.introduction),
      shareProblem("probability of detection", one.detection),
    ]),
  );
  if (problem !== undefined) return cannot(problem);
  let free = 1 - priorInfested;
  const terms: SeasonOfFreedom[] = [];
  for (const season of seasons) {
    const prior = 1 - free * (1 - season.introduction);
    if (prior * season.detection === 1) return cannot(contradiction(season.season));
    free = (1 - prior) / (1 - prior * season.detection);
    terms.push({ ...season, priorInfested: prior, probabilityFree: free });
  }
  return calculated({ probabilityFree: free, seasons: terms });
}

export interface MorePlants {
  /** Plants still to dig, and to find clean, this season. */
  readonly plants: number;
  /** The probability of detection that all plants of the season together must reach. */
  readonly detectionNeeded: number;
}

/**
 * How many more plants, all clean, raise P(free) to the wanted level this season, when `plantsDug` have been dug and
 * `priorInfested` is π before any of them: Se needed = (1 − (1 − π)/wanted) / π, and the plants that give it.
 * Errors: a certainty that digging cannot give; nothing to find at the design incidence; too few plants on the field.
 */
export function morePlantsForFreedom(
  priorInfested: number,
  wantedFree: number,
  plantsDug: number,
  looking: LookingForDisease,
): Calculated<MorePlants> {
  const problem = firstProblem(
    shareProblem("probability of being infested", priorInfested),
    shareProblem("wanted probability of being free", wantedFree),
    countProblem("number of plants dug", plantsDug),
  );
  if (problem !== undefined) return cannot(problem);
  if (1 - priorInfested >= wantedFree) return calculated({ plants: 0, detectionNeeded: 0 });
  if (priorInfested === 1) return cannot("A field that is certainly infested cannot be shown to be free by digging.");
  const detectionNeeded = Math.min(1, (1 - (1 - priorInfested) / wantedFree) / priorInfested);
  const needed = plantsNeeded(looking, detectionNeeded);
  if (!needed.ok) return cannot(`${percentText(wantedFree)} cannot be reached by digging. ${needed.error}`);
  return calculated({ plants: Math.max(0, needed.value.plants - plantsDug), detectionNeeded });
}

function contradiction(season: number): string {
  return (
    `The field is taken as certainly infested before ${season}, yet digs that could not have missed it found nothing; ` +
    "check the figures put in."
  );
}

/**
 * What a dig proves when infected plants stand together, or where digs are put where disease comes in.
 *
 * Sources: Hughes & Madden 1993, Phytopathology 83:759–763 (beta-binomial for disease incidence);
 * Martin, Cameron & Greiner 2007, Prev. Vet. Med. 79:71–97 (risk-weighted sampling; from memory).
 */
import {
  amountProblem,
  calculated,
  cannot,
  countProblem,
  firstProblem,
  numberText,
  percentText,
  shareProblem,
  type Calculated,
} from "./calculated.ts";
import { isEnough, missAtClusteredStop, missInVeryLargeField, roundedCount } from "./dug-plants.ts";

/** Shares from 0 to 1. */
export interface ClusteredDisease {
  /** The mean share of plants infected over the field. */
  readonly incidence: number;
  /** Intra-cluster correlation ρ: 0 spread evenly, 1 all or none of a stop's plants. */
  readonly correlation: number;
  /** The chance that an infected plant, once dug, is noticed. */
  readonly sensitivity: number;
}

/** The plants dug at one stop are counted one by one in the sum over the infected among them. */
const MOST_PLANTS_AT_A_STOP = 100_000;

/** The two parameters of the beta distribution of the share infected at a stop. Needs 0 < p < 1 and 0 < ρ < 1. */
export function betaParameters(incidence: number, correlation: number): Calculated<{ alpha: number; beta: number }> {
  if (!(incidence > 0 && incidence < 1)) return cannot("The incidence must lie between 0 and 100 %.");
  if (!(correlation > 0 && correlation < 1)) return cannot("The correlation must lie between 0 and 1.");
  const theta = correlation / (1 - correlation);
  const [alpha, beta] = [incidence / theta, (1 - incidence) / theta];
  return Number.isFinite(alpha + beta)
    ? calculated({ alpha, beta })
    : cannot("At so small a correlation the plants are independent of each other.");
}

/** How many times larger the variance of a stop's count is for the clustering: 1 + ρ(n − 1). */
export function varianceInflation(plantsPerStop: number, correlation: number): Calculated<number> {
  const problem = firstProblem(countProblem("number of plants at a stop", plantsPerStop, 1), rho(correlation));
  return problem === undefined ? calculated(1 + correlation * (plantsPerStop - 1)) : cannot(problem);
}

/**
 * The probability that at least one plant dug is noticed as infected. Stops are far enough apart to be independent;
 * plants of one stop are not. No stops: 0.
 */
export function clusteredDetection(disease: ClusteredDisease, plantsPerStop: readonly number[]): Calculated<number> {
  const problem = firstProblem(diseaseProblem(disease), ...plantsPerStop.map(stopProblem));
  if (problem !== undefined) return cannot(problem);
  return calculated(1 - missAtStops(disease, plantsPerStop));
}

/**
 * The fewest stops of `plantsPerStop` plants each that find the disease with that confidence.
 * Errors: nothing to find; a certainty no number of stops can give.
 */
export function stopsNeeded(
  disease: ClusteredDisease,
  plantsPerStop: number,
  confidence: number,
): Calculated<{ stops: number; plants: number; probability: number }> {
  const problem = firstProblem(
    diseaseProblem(disease),
    countProblem("number of plants at a stop", plantsPerStop, 1, MOST_PLANTS_AT_A_STOP),
    shareProblem("confidence", confidence),
  );
  if (problem !== undefined) return cannot(problem);
  const miss = missAt(disease, plantsPerStop);
  if (confidence === 0) return calculated({ stops: 0, plants: 0, probability: 0 });
  if (miss === 1) return cannot("At that incidence and sensitivity there is nothing that a dig could find.");
  const stops = miss === 0 ? 1 : Math.max(1, roundedCount(Math.log1p(-confidence) / Math.log(miss), Math.ceil));
  if (!(stops * plantsPerStop <= Number.MAX_SAFE_INTEGER)) {
    return cannot("No number of stops that could be dug is enough; ask for a lower confidence.");
  }
  return calculated({ stops, plants: stops * plantsPerStop, probability: 1 - Math.pow(miss, stops) });
}

/**
 * The lowest incidence that these stops, all clean, would have found with that confidence, to 1e-12.
 * Errors: nothing dug; so few stops that even a field wholly infected could have been missed.
 */
export function detectableIncidenceClustered(
  plantsPerStop: readonly number[],
  confidence: number,
  correlation: number,
  sensitivity: number,
): Calculated<number> {
  const disease = (incidence: number): ClusteredDisease => ({ incidence, correlation, sensitivity });
  const problem = firstProblem(
    diseaseProblem(disease(1)),
    shareProblem("confidence", confidence),
    ...plantsPerStop.map(stopProblem),
  );
  if (problem !== undefined) return cannot(problem);
  const plants = plantsPerStop.reduce((sum, stop) => sum + stop, 0);
  if (plants === 0) return cannot("No plants have been dug, so no incidence can be ruled out.");
  if (confidence === 0) return calculated(0);
  const enough = (incidence: number): boolean => isEnough(missAtStops(disease(incidence), plantsPerStop), confidence);
  if (!enough(1)) {
    return cannot(
      `${numberText(plants)} plants dug are too few to rule out any incidence with ` +
        `${percentText(confidence)} confidence; dig more.`,
    );
  }
  let [missed, caught] = [0, 1];
  while (caught - missed > 1e-13) {
    const middle = (missed + caught) / 2;
    if (middle <= missed || middle >= caught) break;
    if (enough(middle)) caught = middle;
    else missed = middle;
  }
  return calculated(caught);
}

/** A part of the field with a risk of its own, such as the entrance, and the plants dug in it. */
export interface RiskStratum {
  /** How many times likelier disease is here than in the part the others are measured against. */
  readonly relativeRisk: number;
  /** Its share of the field, 0 to 1; the shares of all parts sum to 1. */
  readonly shareOfField: number;
  readonly plants: number;
}

export interface RiskWeightedDetection {
  readonly probability: number;
  /** In the order of the strata: the risk over the field's mean risk, AR. */
  readonly adjustedRisk: readonly number[];
  /** In the order of the strata: the incidence to be expected in each, p*·AR, never above 1. */
  readonly effectiveIncidence: readonly number[];
}

/**
 * The probability of detection when the parts of a field differ in risk:
 * AR_i = RR_i / Σ(RR_j·share_j), EPI_i = p*·AR_i, Se = 1 − Π(1 − EPI_i·Se_unit)^n_i.
 * Errors: no strata; shares that do not sum to 1 (to one in a thousand); all relative risks 0.
 */
export function riskWeightedDetection(
  designIncidence: number,
  strata: readonly RiskStratum[],
  sensitivity: number,
): Calculated<RiskWeightedDetection> {
  const problem = firstProblem(
    shareProblem("design incidence", designIncidence),
    shareProblem("sensitivity", sensitivity),
    ...strata.flatMap((stratum) => [
      amountProblem("relative risk of a part of the field", stratum.relativeRisk, true),
      shareProblem("share of the field that a part takes up", stratum.shareOfField),
      countProblem("number of plants dug", stratum.plants),
    ]),
  );
  if (problem !== undefined) return cannot(problem);
  const shares = strata.reduce((sum, stratum) => sum + stratum.shareOfField, 0);
  if (Math.abs(shares - 1) > 1e-3) {
    return cannot(`The parts of the field must make up 100 % of it; together they make ${percentText(shares)}.`);
  }
  const meanRisk = strata.reduce((sum, stratum) => sum + stratum.relativeRisk * stratum.shareOfField, 0);
  if (!(meanRisk > 0 && Number.isFinite(meanRisk))) {
    return cannot("At least one part of the field must have a relative risk above 0.");
  }
  const adjustedRisk = strata.map((stratum) => stratum.relativeRisk / meanRisk);
  const effectiveIncidence = adjustedRisk.map((risk) => Math.min(1, designIncidence * risk));
  const miss = strata.reduce(
    (product, stratum, i) => product * missInVeryLargeField(stratum.plants, effectiveIncidence[i]!, sensitivity),
    1,
  );
  return calculated({ probability: 1 - miss, adjustedRisk, effectiveIncidence });
}

function missAtStops(disease: ClusteredDisease, plantsPerStop: readonly number[]): number {
  return plantsPerStop.reduce((miss, plants) => miss * missAt(disease, plants), 1);
}

function missAt({ incidence, correlation, sensitivity }: ClusteredDisease, plants: number): number {
  return missAtClusteredStop(plants, incidence, correlation, sensitivity);
}

function diseaseProblem({ incidence, correlation, sensitivity }: ClusteredDisease): string | undefined {
  return firstProblem(shareProblem("incidence", incidence), rho(correlation), shareProblem("sensitivity", sensitivity));
}

function stopProblem(plants: number): string | undefined {
  return countProblem("number of plants at a stop", plants, 0, MOST_PLANTS_AT_A_STOP);
}

function rho(correlation: number): string | undefined {
  return correlation >= 0 && correlation <= 1
    ? undefined
    : `The correlation must be from 0 to 1, not ${numberText(correlation)}.`;
}

/**
 * How many plants to dig, and what a clean dig proves.
 *
 * Sources: ISPM 31 (FAO 2008), tables 1 and 3; the binomial form with sensitivity as in epiR's `epi.ssdetect`;
 * imperfect sensitivity in a finite population after Cameron & Baldock 1998 (from memory): the exact sum, not the
 * approximation of Cannon & Roe 1982.
 *
 * Shares (incidence, confidence, sensitivity) run from 0 to 1; counts are whole plants.
 */
import {
  calculated,
  cannot,
  countProblem,
  firstProblem,
  numberText,
  percentText,
  shareProblem,
  type Calculated,
} from "./calculated.ts";
import { isEnough, missInFiniteField, missInVeryLargeField, roundedCount } from "./dug-plants.ts";

export interface LookingForDisease {
  /** The share of plants infected that is to be found, or ruled out: the design incidence. */
  readonly incidence: number;
  /** The chance that an infected plant, once dug, is noticed. */
  readonly sensitivity: number;
  /** Plants on the field. Undefined: so many that digging takes none away (sampling with replacement). */
  readonly population?: number | undefined;
}

export interface PlantsNeeded {
  readonly plants: number;
  /** The probability of detection that so many plants give: at or just above the confidence asked for. */
  readonly probability: number;
  /** Infected plants on the field at the design incidence; undefined without a population. */
  readonly infectedPlants: number | undefined;
  readonly method: "binomial" | "hypergeometric";
}

/**
 * The fewest plants to dig so that disease at the design incidence is found with the confidence wanted.
 * Errors: shares outside 0–1; nothing infected at that incidence; a confidence that no number of plants can reach.
 */
export function plantsNeeded(looking: LookingForDisease, confidence: number): Calculated<PlantsNeeded> {
  const problem = firstProblem(lookingProblem(looking), shareProblem("confidence", confidence));
  if (problem !== undefined) return cannot(problem);
  const nothing = nothingToFind(looking);
  if (nothing !== undefined) return cannot(nothing);
  const { incidence, sensitivity, population } = looking;
  if (population === undefined) return plantsInVeryLargeField(incidence, sensitivity, confidence);

  const infected = infectedPlants(population, incidence);
  const miss = (plants: number): number => missInFiniteField(plants, infected, population, sensitivity);
  if (!isEnough(miss(population), confidence)) {
    return cannot(
      `Even digging all ${numberText(population)} plants finds the disease with ` +
        `${percentText(1 - miss(population))} only; ask for a lower confidence, or look at the roots more closely.`,
    );
  }
  const plants = fewest(population, (middle) => isEnough(miss(middle), confidence));
  return calculated({ plants, probability: 1 - miss(plants), infectedPlants: infected, method: "hypergeometric" });
}

function plantsInVeryLargeField(incidence: number, sensitivity: number, confidence: number): Calculated<PlantsNeeded> {
  const found = incidence * sensitivity;
  const exact = found === 1 ? 1 : Math.log1p(-confidence) / Math.log1p(-found);
  const plants = confidence === 0 ? 0 : Math.max(1, roundedCount(exact, Math.ceil));
  if (!(plants <= Number.MAX_SAFE_INTEGER)) {
    return cannot("No number of plants that could be dug is enough; ask for a lower confidence or a higher incidence.");
  }
  return calculated({
    plants,
    probability: 1 - missInVeryLargeField(plants, incidence, sensitivity),
    infectedPlants: undefined,
    method: "binomial",
  });
}

/**
 * The probability that at least one of `plants` dug is noticed as infected, were the disease there at that incidence.
 * 0 plants, no infected plant, or a sensitivity of 0: 0. Error: more plants dug than stand on the field.
 */
export function probabilityOfDetection(looking: LookingForDisease, plants: number): Calculated<number> {
  const problem = firstProblem(lookingProblem(looking), countProblem("number of plants dug", plants));
  if (problem !== undefined) return cannot(problem);
  const { incidence, sensitivity, population } = looking;
  if (population === undefined) return calculated(1 - missInVeryLargeField(plants, incidence, sensitivity));
  if (plants > population) return cannot(moreThanThereAre(plants, population));
  return calculated(1 - missInFiniteField(plants, infectedPlants(population, incidence), population, sensitivity));
}

/**
 * The other way round: the lowest incidence that so many plants, all clean, would have found with that confidence.
 * Very large field: (1 − (1−C)^(1/n)) / Se. Finite: the fewest infected plants that would have been found, over N.
 * Errors: no plants dug; so few that even a field wholly infected could have been missed.
 */
export function detectableIncidence(
  plants: number,
  confidence: number,
  sensitivity: number,
  population?: number,
): Calculated<number> {
  const problem = firstProblem(
    countProblem("number of plants dug", plants, 1),
    shareProblem("confidence", confidence),
    shareProblem("sensitivity", sensitivity),
    population === undefined ? undefined : countProblem("number of plants on the field", population, 1),
  );
  if (plants === 0) return cannot("No plants have been dug, so no incidence can be ruled out.");
  if (problem !== undefined) return cannot(problem);
  const tooFew =
    `${plants === 1 ? "One plant dug is" : `${numberText(plants)} plants dug are`} too few to rule out any incidence with ` +
    `${percentText(confidence)} confidence; dig more.`;
  if (population === undefined) {
    if (confidence === 0) return calculated(0);
    if (sensitivity === 0) return cannot(tooFew);
    const incidence = -Math.expm1(Math.log1p(-confidence) / plants) / sensitivity;
    return incidence <= 1 ? calculated(incidence) : cannot(tooFew);
  }
  if (plants > population) return cannot(moreThanThereAre(plants, population));
  const enough = (infected: number): boolean =>
    isEnough(missInFiniteField(plants, infected, population, sensitivity), confidence);
  if (!enough(population)) return cannot(tooFew);
  return calculated(fewest(population, enough) / population);
}

/** The smallest whole number from 0 to `most` that is enough, where `most` is, and more is never worse. */
function fewest(most: number, enough: (count: number) => boolean): number {
  let [tooFew, count] = [-1, most];
  while (count - tooFew > 1) {
    const middle = Math.floor((tooFew + count) / 2);
    if (enough(middle)) count = middle;
    else tooFew = middle;
  }
  return count;
}

/**
 * Infected plants on a field at an incidence, rounded down as in ISPM 31's table 1 (rounding up would ask for fewer
 * plants than are needed). A product that is whole but for the last binary digits counts as whole: 29 % of 100 is 29.
 */
export function infectedPlants(population: number, incidence: number): number {
  return roundedCount(population * incidence, Math.floor);
}

function lookingProblem({ incidence, sensitivity, population }: LookingForDisease): string | undefined {
  return firstProblem(
    shareProblem("design incidence", incidence),
    shareProblem("sensitivity", sensitivity),
    population === undefined ? undefined : countProblem("number of plants on the field", population),
  );
}

function nothingToFind({ incidence, sensitivity, population }: LookingForDisease): string | undefined {
  if (sensitivity === 0) return "With a sensitivity of 0 % no dig can find the disease.";
  if (incidence === 0) return "At a design incidence of 0 % there is nothing to find; name the least share to find.";
  if (population === undefined || infectedPlants(population, incidence) > 0) return undefined;
  return (
    `${percentText(incidence)} of ${numberText(population)} plants is less than one plant; ` +
    "ask for a higher incidence, or leave out the number of plants on the field."
  );
}

function moreThanThereAre(plants: number, population: number): string {
  return `${numberText(plants)} plants dug are more than the ${numberText(population)} on the field.`;
}

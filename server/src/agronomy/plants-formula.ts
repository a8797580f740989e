/** The formulas of `plants.ts` and `clustering.ts` with the numbers in them. Each takes what was put in and got out. */
import { countText, numberText, percentText, type ShownFormula } from "./calculated.ts";
import { betaParameters, type ClusteredDisease, type RiskStratum, type RiskWeightedDetection } from "./clustering.ts";
import { infectedPlants, type LookingForDisease, type PlantsNeeded } from "./plants.ts";

const ISPM_31 = "ISPM 31, Methodologies for sampling of consignments (FAO 2008)";
const SENSITIVITY_BINOMIAL = "sensitivity as in epiR, epi.ssdetect";
const SENSITIVITY_FINITE = "sensitivity after Cameron & Baldock 1998 (from memory)";
const BETA_BINOMIAL = "Hughes & Madden 1993, Phytopathology 83:759 (beta-binomial)";
const RISK_WEIGHTED = "Martin, Cameron & Greiner 2007, Prev. Vet. Med. 79:71 (from memory)";

export function plantsNeededFormula(
  looking: LookingForDisease,
  confidence: number,
  needed: PlantsNeeded,
): ShownFormula {
  const { incidence, sensitivity, population } = looking;
  if (population === undefined) {
    return {
      formula:
        `n = ln(1 − C) / ln(1 − p·Se), rounded up = ln(1 − ${numberText(confidence)}) / ` +
        `ln(1 − ${numberText(incidence)}·${numberText(sensitivity)}) → ${countText(needed.plants, "plant")}`,
      sources: [`${ISPM_31}, sampling with replacement`, SENSITIVITY_BINOMIAL],
    };
  }
  return {
    formula:
      `smallest n with ${finiteMiss(sensitivity)} ≤ 1 − C; ${finiteNumbers(population, incidence)}` +
      `${withSensitivity(sensitivity)}, C = ${numberText(confidence)} → ${countText(needed.plants, "plant")}`,
    sources: finiteSources(sensitivity),
  };
}

export function detectionFormula(looking: LookingForDisease, plants: number, probability: number): ShownFormula {
  const { incidence, sensitivity, population } = looking;
  const result = `= ${numberText(probability)}`;
  if (population === undefined) {
    return {
      formula:
        `1 − (1 − p·Se)^n = 1 − (1 − ${numberText(incidence)}·${numberText(sensitivity)})^${numberText(plants)} ` +
        result,
      sources: [`${ISPM_31}, sampling with replacement`, SENSITIVITY_BINOMIAL],
    };
  }
  return {
    formula:
      `1 − ${finiteMiss(sensitivity)}; ${finiteNumbers(population, incidence)}${withSensitivity(sensitivity)}, ` +
      `n = ${numberText(plants)} ${result}`,
    sources: finiteSources(sensitivity),
  };
}

export function detectableIncidenceFormula(
  plants: number,
  confidence: number,
  sensitivity: number,
  population: number | undefined,
  incidence: number,
): ShownFormula {
  if (population === undefined) {
    return {
      formula:
        `p = (1 − (1 − C)^(1/n)) / Se = (1 − (1 − ${numberText(confidence)})^(1/${numberText(plants)})) / ` +
        `${numberText(sensitivity)} = ${percentText(incidence)}`,
      sources: [`${ISPM_31}, sampling with replacement, solved for p`, SENSITIVITY_BINOMIAL],
    };
  }
  return {
    formula:
      `smallest d/N with ${finiteMiss(sensitivity)} ≤ 1 − C; N = ${numberText(population)}` +
      `${withSensitivity(sensitivity)}, n = ${numberText(plants)}, C = ${numberText(confidence)} → ` +
      percentText(incidence),
    sources: finiteSources(sensitivity),
  };
}

export function clusteredDetectionFormula(
  disease: ClusteredDisease,
  plantsPerStop: readonly number[],
  probability: number,
): ShownFormula {
  const { incidence, correlation, sensitivity } = disease;
  const plants = plantsPerStop.reduce((sum, stop) => sum + stop, 0);
  const beta = betaParameters(incidence, correlation);
  const parameters = beta.ok ? ` (α = ${numberText(beta.value.alpha)}, β = ${numberText(beta.value.beta)})` : "";
  return {
    formula:
      `1 − Π over the stops of Σ P(y infected)·(1 − Se)^y, y beta-binomial with p = ${numberText(incidence)}, ` +
      `ρ = ${numberText(correlation)}${parameters}; Se = ${numberText(sensitivity)}, ${countText(plants, "plant")} at ` +
      `${countText(plantsPerStop.length, "stop")} = ${numberText(probability)}`,
    sources: [BETA_BINOMIAL],
  };
}

export function riskWeightedFormula(
  designIncidence: number,
  strata: readonly RiskStratum[],
  sensitivity: number,
  found: RiskWeightedDetection,
): ShownFormula {
  const factors = strata.map(
    (stratum, i) =>
      `(1 − ${numberText(found.effectiveIncidence[i] ?? 0)}·${numberText(sensitivity)})^${numberText(stratum.plants)}`,
  );
  return {
    formula:
      `1 − Π(1 − p·AR·Se)^n, p = ${numberText(designIncidence)}, AR = ` +
      `${found.adjustedRisk.map((risk) => numberText(risk)).join(", ")}: 1 − ${factors.join("·")} ` +
      `= ${numberText(found.probability)}`,
    sources: [RISK_WEIGHTED],
  };
}

function finiteMiss(sensitivity: number): string {
  return sensitivity === 1 ? "C(N−d, n)/C(N, n)" : "Σ P(y of d infected among n of N)·(1 − Se)^y";
}

function finiteNumbers(population: number, incidence: number): string {
  const infected = infectedPlants(population, incidence);
  return (
    `N = ${numberText(population)}, d = ${numberText(population)}·${numberText(incidence)}, rounded down ` +
    `= ${numberText(infected)}`
  );
}

function withSensitivity(sensitivity: number): string {
  return sensitivity === 1 ? "" : `, Se = ${numberText(sensitivity)}`;
}

function finiteSources(sensitivity: number): string[] {
  const base = `${ISPM_31}, hypergeometric, d rounded down`;
  return sensitivity === 1 ? [base] : [base, SENSITIVITY_FINITE];
}

import { countText, numberText, percentText } from "../../agronomy/calculated.ts";
import { clusteredDetection, stopsNeeded, varianceInflation } from "../../agronomy/clustering.ts";
import { clusteredDetectionFormula, plantsNeededFormula } from "../../agronomy/plants-formula.ts";
import { plantsNeeded } from "../../agronomy/plants.ts";
import { CommandFailure } from "../failure.ts";
import type { Answer, Calculation } from "./calculation.ts";
import { valueOf, type CalcInput } from "./input.ts";
import type { RegionFigures } from "./region-figures.ts";
import {
  confidenceOf,
  correlationOf,
  incidenceOf,
  plantsPerStopOf,
  SAMPLING_OPTIONS,
  sensitivityOf,
} from "./sampling-input.ts";

const USAGE = "[--incidence 2%] [--confidence 95%] [--population N]";

export const plants: Calculation = {
  name: "plants",
  usage: USAGE,
  summary: "how many plants to dig so that clubroot is noticed",
  help:
    "The fewest plants to dig so that clubroot at a design incidence is noticed with the confidence wanted.\n" +
    "With --per-stop or --correlation infected plants stand together, and the answer is in whole stops.",
  examples: [
    "spadework calc plants --incidence 2% --confidence 95% --population 2000 --sensitivity 0.9",
    "spadework calc plants --incidence 2% --correlation 0.1 --per-stop 10",
  ],
  options: {
    ...SAMPLING_OPTIONS,
    "per-stop": { type: "string", value: "N", help: "plants dug at each stop" },
  },
  answer(input, region) {
    input.noPositionals(USAGE);
    const isClustered = input.text("correlation") !== undefined || input.text("per-stop") !== undefined;
    return isClustered ? inStops(input, region) : oneByOne(input, region);
  },
};

function oneByOne(input: CalcInput, region: RegionFigures): Answer {
  const incidence = incidenceOf(input, region);
  const sensitivity = sensitivityOf(input, region);
  const confidence = confidenceOf(input, region);
  const looking = { incidence, sensitivity, population: input.number("population") };
  const needed = valueOf(plantsNeeded(looking, confidence));
  return {
    says: [
      `Dig ${countText(needed.plants, "plant")}: clubroot in ${percentText(incidence)} of the plants is then noticed with ` +
        `${percentText(needed.probability)} probability (${percentText(confidence)} was asked for).`,
    ],
    formulas: [plantsNeededFormula(looking, confidence, needed)],
    values: {
      plants: needed.plants,
      probability: needed.probability,
      method: needed.method,
      infected_plants: needed.infectedPlants ?? null,
      stops: null,
      inputs: { incidence, sensitivity, confidence, population: looking.population ?? null },
    },
  };
}

function inStops(input: CalcInput, region: RegionFigures): Answer {
  if (input.text("population") !== undefined) {
    throw new CommandFailure(
      "stops of plants that stand together are reckoned for a large field; leave out --population",
    );
  }
  const disease = {
    incidence: incidenceOf(input, region),
    sensitivity: sensitivityOf(input, region),
    correlation: correlationOf(input, region),
  };
  const confidence = confidenceOf(input, region);
  const perStop = plantsPerStopOf(input, region);
  const needed = valueOf(stopsNeeded(disease, perStop, confidence));
  // Stops are alike: the formula of one says what there is to see, whatever their number.
  const atOneStop = valueOf(clusteredDetection(disease, [perStop]));
  return {
    says: [
      `Dig ${countText(needed.plants, "plant")} at ${countText(needed.stops, "stop")}: clubroot in ` +
        `${percentText(disease.incidence)} of the plants is then noticed with ${percentText(needed.probability)} ` +
        `probability (${percentText(confidence)} was asked for).`,
    ],
    formulas: [
      clusteredDetectionFormula(disease, [perStop], atOneStop),
      {
        formula:
          `stops = ln(1 − C)/ln(1 − one stop), rounded up = ln(1 − ${numberText(confidence)})/` +
          `ln(1 − ${numberText(atOneStop)}) → ${numberText(needed.stops)}`,
        sources: ["stops far apart are independent"],
      },
    ],
    notes: [
      `Counts of infected plants vary ${numberText(valueOf(varianceInflation(perStop, disease.correlation)))} times as much ` +
        "from stop to stop as if these were spread evenly.",
    ],
    values: {
      plants: needed.plants,
      probability: needed.probability,
      method: "beta-binomial",
      infected_plants: null,
      stops: needed.stops,
      inputs: { ...disease, confidence, plants_per_stop: perStop },
    },
  };
}

import { countText, numberText, percentText, type Calculated } from "../../agronomy/calculated.ts";
import {
  clusteredDetection,
  detectableIncidenceClustered,
  riskWeightedDetection,
  type RiskStratum,
} from "../../agronomy/clustering.ts";
import {
  clusteredDetectionFormula,
  detectableIncidenceFormula,
  detectionFormula,
  riskWeightedFormula,
} from "../../agronomy/plants-formula.ts";
import { detectableIncidence, probabilityOfDetection } from "../../agronomy/plants.ts";
import { CommandFailure } from "../failure.ts";
import type { Answer, Calculation } from "./calculation.ts";
import { listOf, numberOf, shareOf, valueOf, type CalcInput } from "./input.ts";
import type { RegionFigures } from "./region-figures.ts";
import { confidenceOf, correlationOf, incidenceOf, SAMPLING_OPTIONS, sensitivityOf } from "./sampling-input.ts";

const USAGE = "--plants N | --stops LIST | --parts LIST";
/** More than anyone digs; each stop is reckoned by itself, plant by plant. */
const MOST_STOPS = 9_999;
const MOST_PLANTS = 1_000_000;

export const detect: Calculation = {
  name: "detect",
  usage: USAGE,
  summary: "what plants dug would have shown",
  help:
    "The probability that plants dug notice clubroot at a design incidence, and the lowest incidence that they, all clean,\n" +
    "would have caught. --stops says how many plants were dug at each stop, where infected plants stand together (10x10 is ten\n" +
    "stops of ten); --parts weighs parts of the field by risk: relative risk, share of the field, plants.",
  examples: [
    "spadework calc detect --plants 60 --incidence 5% --sensitivity 90%",
    "spadework calc detect --stops 10x10 --incidence 2% --sensitivity 100% --correlation 0.1",
    "spadework calc detect --parts 5:10%:5,3:10%:5,1:80%:5 --incidence 10% --sensitivity 90%",
  ],
  options: {
    plants: { type: "string", value: "N", help: "plants dug" },
    stops: { type: "string", value: "LIST", help: "plants dug at each stop: 10,10,20 or 10x10" },
    parts: { type: "string", value: "LIST", help: "parts of the field: risk:share:plants, with a comma between parts" },
    ...SAMPLING_OPTIONS,
  },
  answer(input, region) {
    input.noPositionals(USAGE);
    const asked = ["plants", "stops", "parts"].filter((option) => input.text(option) !== undefined);
    if (asked.length !== 1) throw new CommandFailure(`say what was dug, by one of --plants, --stops and --parts`);
    if (asked[0] === "parts") return byRisk(input, region);
    return asked[0] === "stops" ? byStops(input, region) : byPlants(input, region);
  },
};

function byPlants(input: CalcInput, region: RegionFigures): Answer {
  const plants = input.number("plants") ?? 0;
  const incidence = incidenceOf(input, region);
  const sensitivity = sensitivityOf(input, region);
  const confidence = confidenceOf(input, region);
  const population = input.number("population");
  const looking = { incidence, sensitivity, population };
  const probability = valueOf(probabilityOfDetection(looking, plants));
  const least = detectableIncidence(plants, confidence, sensitivity, population);
  const formulas = [detectionFormula(looking, plants, probability)];
  if (least.ok) formulas.push(detectableIncidenceFormula(plants, confidence, sensitivity, population, least.value));
  return answerOf(plants, incidence, confidence, probability, least, {
    formulas,
    inputs: { plants, ...looking, population: population ?? null, confidence },
  });
}

function byStops(input: CalcInput, region: RegionFigures): Answer {
  const stops = stopsOf(input.text("stops") ?? "");
  const disease = {
    incidence: incidenceOf(input, region),
    sensitivity: sensitivityOf(input, region),
    correlation: correlationOf(input, region),
  };
  const confidence = confidenceOf(input, region);
  const probability = valueOf(clusteredDetection(disease, stops));
  const least = detectableIncidenceClustered(stops, confidence, disease.correlation, disease.sensitivity);
  const plants = stops.reduce((sum, stop) => sum + stop, 0);
  return answerOf(plants, disease.incidence, confidence, probability, least, {
    formulas: [clusteredDetectionFormula(disease, stops, probability)],
    inputs: { plants_per_stop: stops, ...disease, confidence },
  });
}

function answerOf(
  plants: number,
  incidence: number,
  confidence: number,
  probability: number,
  least: Calculated<number>,
  { formulas, inputs }: Pick<Answer, "formulas"> & { readonly inputs: object },
): Answer {
  const ruledOut =
    least.ok && least.value < 1 ? `${percentText(least.value)} or more` : "no less than every plant infected";
  const caught = least.ok
    ? `All clean, ${plants === 1 ? "it rules" : "they rule"} out ${ruledOut} with ${percentText(confidence)} confidence.`
    : least.error;
  return {
    says: [
      `${countText(plants, "plant")} dug: clubroot in ${percentText(incidence)} of the plants is noticed with ` +
        `${percentText(probability)} probability.`,
      caught,
    ],
    formulas,
    values: { probability, detectable_incidence: least.ok ? least.value : null, plants, inputs },
  };
}

function byRisk(input: CalcInput, region: RegionFigures): Answer {
  const parts = listOf(input.text("parts") ?? "").map(partOf);
  const incidence = incidenceOf(input, region);
  const sensitivity = sensitivityOf(input, region);
  const found = valueOf(riskWeightedDetection(incidence, parts, sensitivity));
  const plants = parts.reduce((sum, part) => sum + part.plants, 0);
  return {
    says: [
      `${countText(plants, "plant")} dug by risk: clubroot in ${percentText(incidence)} of the plants is noticed with ` +
        `${percentText(found.probability)} probability.`,
    ],
    formulas: [riskWeightedFormula(incidence, parts, sensitivity, found)],
    values: {
      probability: found.probability,
      detectable_incidence: null,
      plants,
      adjusted_risk: found.adjustedRisk,
      effective_incidence: found.effectiveIncidence,
      inputs: {
        parts: parts.map((part) => ({
          relative_risk: part.relativeRisk,
          share_of_field: part.shareOfField,
          plants: part.plants,
        })),
        incidence,
        sensitivity,
      },
    },
  };
}

/** `5:10%:20` */
function partOf(text: string): RiskStratum {
  const [risk, share, plants, ...more] = text.split(":");
  if (risk === undefined || share === undefined || plants === undefined || more.length > 0) {
    throw new CommandFailure(`a part of the field is written risk:share:plants, such as 5:10%:20; "${text}" is not`);
  }
  return {
    relativeRisk: numberOf(risk, "the risk in --parts"),
    shareOfField: shareOf(share, "the share in --parts"),
    plants: numberOf(plants, "the number of plants in --parts"),
  };
}

/** `10,10,20`, `10x10`, or both together. */
function stopsOf(text: string): number[] {
  const stops: number[] = [];
  for (const part of listOf(text)) {
    const [first, second, ...more] = part.split("x");
    if (more.length > 0) throw new CommandFailure(`--stops is written 10,10,20 or 10x10; "${part}" is neither`);
    const times = second === undefined ? 1 : numberOf(first!, "--stops");
    const plants = numberOf(second ?? first!, "--stops");
    if (!Number.isInteger(times) || times < 1 || stops.length + times > MOST_STOPS) {
      throw new CommandFailure(`--stops takes from 1 to ${numberText(MOST_STOPS)} stops`);
    }
    for (let i = 0; i < times; i++) stops.push(plants);
  }
  if (stops.reduce((sum, stop) => sum + stop, 0) > MOST_PLANTS) {
    throw new CommandFailure(`--stops takes at most ${numberText(MOST_PLANTS)} plants in all`);
  }
  return stops;
}

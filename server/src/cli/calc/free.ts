import { countText, percentText, type ShownFormula } from "../../agronomy/calculated.ts";
import { clusteredDetection, stopsNeeded } from "../../agronomy/clustering.ts";
import { belowOne, freedomFormula, introductionFormula, morePlantsFormula } from "../../agronomy/freedom-formula.ts";
import { freedomChain, morePlantsForFreedom, probabilityOfIntroduction } from "../../agronomy/freedom.ts";
import { probabilityOfDetection } from "../../agronomy/plants.ts";
import { FREEDOM_CAUTION } from "../../book/freedom-words.ts";
import { CommandFailure } from "../failure.ts";
import type { Calculation } from "./calculation.ts";
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

const USAGE = "--plants LIST [--introduction LIST]";

export const free: Calculation = {
  name: "free",
  usage: USAGE,
  summary: "how likely a field is free of clubroot, after seasons of clean digs",
  help:
    "Follows a field from the region's prior through seasons, the oldest first: the plants dug clean in each (or the\n" +
    "probability that its digs would have found clubroot), and the chance that it was brought in before them. It supports a\n" +
    "decision; it proves nothing.",
  examples: [
    "spadework calc free --plants 100,160",
    "spadework calc free --prior 10% --plants 100,0,160 --introduction 0,1%,0 --wanted 99%",
    "spadework calc free --plants 160 --soil-left 1,0.1",
  ],
  options: {
    prior: { type: "string", value: "SHARE", help: "the chance of being infested before anything is known" },
    plants: { type: "string", value: "LIST", help: "plants dug clean in each season: 100,160" },
    detection: { type: "string", value: "LIST", help: "instead: the probability of detection of each season" },
    introduction: {
      type: "string",
      value: "LIST",
      help: "the chance that it was brought in before each season's digs",
    },
    "soil-left": {
      type: "string",
      value: "LIST",
      help: "before the last season's digs: the share of soil left of each carriage from infested ground",
    },
    wanted: { type: "string", value: "SHARE", help: "the probability of being free to reach" },
    incidence: SAMPLING_OPTIONS.incidence,
    sensitivity: SAMPLING_OPTIONS.sensitivity,
    confidence: SAMPLING_OPTIONS.confidence,
    correlation: SAMPLING_OPTIONS.correlation,
    "per-stop": { type: "string", value: "N", help: "plants at each stop, where they stand together" },
  },
  answer(input, region) {
    input.noPositionals(USAGE);
    const prior =
      input.share("prior") ?? region.need("freedom.prior_infested", "prior", (pack) => pack.freedom?.prior_infested);
    const digging = diggingOf(input, region);
    const detections = detectionsOf(input, digging);
    const { introductions, formula } = introductionsOf(input, region, detections.length);
    const seasons = detections.map((detection, i) => ({
      season: i + 1,
      detection,
      introduction: introductions[i] ?? 0,
    }));
    const chain = valueOf(freedomChain(prior, seasons));
    const wanted = input.share("wanted") ?? confidenceOf(input, region);
    const more = moreFor(1 - chain.probabilityFree, wanted, digging);
    const moreWords =
      more.plants === undefined
        ? `No digging raises it to ${percentText(wanted)}.`
        : more.plants === 0
          ? `No more plants are needed for ${percentText(wanted)}.`
          : `${countText(more.plants, "more plant")}, all clean, would raise it to ${percentText(wanted)}.`;
    return {
      says: [
        `Free of clubroot in ${percentText(digging.incidence)} of the plants or more with ` +
          `${belowOne(chain.probabilityFree, percentText)} probability: ${FREEDOM_CAUTION}.`,
        moreWords,
      ],
      formulas: [freedomFormula(prior, chain), ...formula, ...more.formulas],
      values: {
        probability_free: chain.probabilityFree,
        seasons: chain.seasons.map((one) => ({
          season: one.season,
          introduction: one.introduction,
          prior_infested: one.priorInfested,
          detection: one.detection,
          probability_free: one.probabilityFree,
        })),
        more_plants: more.plants ?? null,
        inputs: { prior_infested: prior, wanted_free: wanted, ...digging },
      },
    };
  },
};

interface Digging {
  readonly incidence: number;
  readonly sensitivity: number;
  readonly correlation: number | null;
  readonly plants_per_stop: number | null;
}

function diggingOf(input: CalcInput, region: RegionFigures): Digging {
  const isClustered = input.text("correlation") !== undefined || input.text("per-stop") !== undefined;
  const correlation = isClustered ? correlationOf(input, region) : null;
  return {
    incidence: incidenceOf(input, region),
    sensitivity: sensitivityOf(input, region),
    correlation,
    plants_per_stop: correlation === null ? null : plantsPerStopOf(input, region),
  };
}

/** Season by season. */
function detectionsOf(
  input: CalcInput,
  { incidence, sensitivity, correlation, plants_per_stop: perStop }: Digging,
): number[] {
  const given = input.shares("detection");
  const plants = input.numbers("plants");
  if (given && plants) throw new CommandFailure("give either --plants or --detection, not both");
  if (given) return [...given];
  return (plants ?? []).map((count) => {
    if (correlation === null || perStop === null) {
      return valueOf(probabilityOfDetection({ incidence, sensitivity }, count));
    }
    const disease = { incidence, sensitivity, correlation };
    // Stops are independent: a stop that is not full counts for the plants it has.
    const full = Math.floor(count / perStop);
    const atOne = valueOf(clusteredDetection(disease, [perStop]));
    const atRest = valueOf(clusteredDetection(disease, [count - full * perStop]));
    return 1 - (1 - atOne) ** full * (1 - atRest);
  });
}

function introductionsOf(
  input: CalcInput,
  region: RegionFigures,
  seasons: number,
): { introductions: readonly number[]; formula: readonly ShownFormula[] } {
  const given = input.shares("introduction") ?? [];
  if (given.length > seasons) {
    throw new CommandFailure(
      `--introduction has ${given.length} seasons and the digs have ${seasons}; give a season without digs 0 plants`,
    );
  }
  const soilLeft = input.shares("soil-left");
  if (!soilLeft) return { introductions: given, formula: [] };
  if (seasons === 0 || given.length === seasons) {
    throw new CommandFailure(
      "--soil-left is of the last season's carriages: give that season's plants, and no --introduction of its own",
    );
  }
  const path = "freedom.introduction_per_carriage";
  const perCarriage = region.need(path, "introduction", (pack) => pack.freedom?.introduction_per_carriage);
  const source = region.used.find((one) => one.path === path)?.source ?? "no source given";
  const introduction = valueOf(
    probabilityOfIntroduction(
      soilLeft.map((shareOfSoilLeft) => ({ shareOfSoilLeft })),
      perCarriage,
    ),
  );
  const before = Array.from({ length: seasons - 1 }, (_, i) => given[i] ?? 0);
  return {
    introductions: [...before, introduction.probability],
    formula: [introductionFormula(perCarriage, introduction, source)],
  };
}

function moreFor(
  infested: number,
  wanted: number,
  { incidence, sensitivity, correlation, plants_per_stop: perStop }: Digging,
): { plants: number | undefined; formulas: ShownFormula[] } {
  const more = morePlantsForFreedom(infested, wanted, 0, { incidence, sensitivity });
  if (!more.ok) return { plants: undefined, formulas: [] };
  const { plants, detectionNeeded } = more.value;
  if (plants === 0) return { plants, formulas: [] };
  if (correlation === null || perStop === null) {
    return { plants, formulas: [morePlantsFormula(infested, wanted, more.value)] };
  }
  const stops = stopsNeeded({ incidence, sensitivity, correlation }, perStop, detectionNeeded);
  if (!stops.ok) return { plants: undefined, formulas: [] };
  const inStops = { plants: stops.value.plants, detectionNeeded };
  return { plants: inStops.plants, formulas: [morePlantsFormula(infested, wanted, inStops)] };
}

import type { ShownFormula } from "../agronomy/calculated.ts";
import { freedomFormula, introductionFormula, morePlantsFormula } from "../agronomy/freedom-formula.ts";
import { MINUTES_PER_DAY } from "../base/days.ts";
import { dayInWords, plural } from "../base/words.ts";
import type { Book } from "./book.ts";
import { carrierInWords, shareInWords } from "./exposure-words.ts";
import type { FieldFreedom, FreedomTerm } from "./freedom.ts";

/** What the figure is, said beside it wherever it stands. */
export const FREEDOM_CAUTION = "decision support, not proof";

const HIGHEST_SHOWN = 99.9;

/** `free with 93 %`; never rounded up, so that no field is told to be free for certain. */
export function freeInWords(probabilityFree: number): string {
  return `free with ${chanceInWords(probabilityFree)}`;
}

function chanceInWords(probabilityFree: number): string {
  // After many clean seasons the probability is 1 but for the last digits.
  const percent = Math.min(probabilityFree * 100, HIGHEST_SHOWN);
  const decimals = percent >= 99 ? 1 : 0;
  return `${(Math.floor(percent * 10 ** decimals + 1e-9) / 10 ** decimals).toFixed(decimals)} %`;
}

/** What a hover says of a field's freedom: every term, with the formulas and the region's figures by their paths. */
export interface FreedomInWords {
  readonly says: readonly string[];
  readonly formulas: readonly ShownFormula[];
  readonly figures: readonly string[];
}

const ARRIVALS_NAMED = 5;

export function freedomInWords(freedom: FieldFreedom, book: Book): FreedomInWords {
  const { probabilityFree, priorInfested, introductionPerCarriage, goal, terms, correlation } = freedom;
  const percent = (share: number): string => `${Number((share * 100).toFixed(2))} %`;
  const says = [
    `free of clubroot in ${percent(goal.designIncidence)} of the plants or more with ${chanceInWords(probabilityFree)} probability: ${FREEDOM_CAUTION}`,
    `before anything is known: ${percent(priorInfested)} of fields are taken to be infested`,
    ...terms.flatMap((term) => termInWords(term, percent, book)),
    moreInWords(freedom, percent),
  ];
  const source = book.region.sources?.["freedom.introduction_per_carriage"] ?? "the region's figure";
  const introductions = terms
    .filter(({ arrivals }) => arrivals.length > 0 && arrivals.length <= ARRIVALS_NAMED)
    .map(({ broughtIn }) => introductionFormula(introductionPerCarriage, broughtIn, source));
  const own = book.season.sampling ?? {};
  const sampling = (["design_incidence", "root_sensitivity", "confidence"] as const)
    .filter((name) => own[name] === undefined)
    .map((name) => `sampling.${name}`);
  const clustering = correlation === undefined ? [] : ["sampling.clustering_correlation", "scouting.plants_per_stop"];
  return {
    says,
    formulas: [
      freedomFormula(priorInfested, { probabilityFree, seasons: terms }),
      ...introductions,
      ...moreFormula(freedom),
    ],
    figures: ["freedom.prior_infested", "freedom.introduction_per_carriage", ...sampling, ...clustering],
  };
}

function termInWords(term: FreedomTerm, percent: (share: number) => string, book: Book): string[] {
  const { season, arrivals, introduction, plantsPerStop, detection, probabilityFree } = term;
  const lines = arrivals.slice(0, ARRIVALS_NAMED).map(({ carriage, soilLeft }) => {
    const day = dayInWords(Math.floor(carriage.arrived / MINUTES_PER_DAY), book.seasonYear);
    const from = book.fieldName(carriage.from);
    return `${day}: ${carrierInWords(carriage.carrier)} came from ${from}, ${shareInWords(soilLeft)} of infested soil left`;
  });
  const more = arrivals.length - lines.length;
  if (more > 0) lines.push(`and ${plural(more, "arrival")} more`);
  if (arrivals.length > 0) lines.push(`${season}: brought in with ${percent(introduction)}`);
  const plants = plantsPerStop.reduce((sum, stop) => sum + stop, 0);
  if (plants === 0) return [...lines, `${season}: no dig since, ${freeInWords(probabilityFree)}`];
  const dug = `${plural(plants, "clean plant")} at ${plural(plantsPerStop.length, "stop")}`;
  return [
    ...lines,
    `${season}: ${dug} would have found it with ${percent(detection)}, ${freeInWords(probabilityFree)}`,
  ];
}

function moreInWords({ morePlants, goal }: FieldFreedom, percent: (share: number) => string): string {
  const wanted = percent(goal.confidence);
  if (morePlants === undefined) return `digging alone cannot raise it to ${wanted}`;
  if (morePlants === 0) return `no more plants are needed for ${wanted}`;
  return `${plural(morePlants, "more plant")}, all clean, would raise it to ${wanted}`;
}

/** Plant by plant only: with clustering the plants come in stops, and the formula's would be fewer. */
function moreFormula({ morePlants, correlation, probabilityFree, goal }: FieldFreedom): ShownFormula[] {
  if (morePlants === undefined || morePlants === 0 || correlation !== undefined) return [];
  const infested = 1 - probabilityFree;
  const detectionNeeded = (1 - probabilityFree / goal.confidence) / infested;
  return [morePlantsFormula(infested, goal.confidence, { plants: morePlants, detectionNeeded })];
}

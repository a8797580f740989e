/** The formulas of `freedom.ts` with the numbers in them, one line a season. */
import { countText, numberText, percentText, type ShownFormula } from "./calculated.ts";
import type { FreedomChain, Introduction, MorePlants } from "./freedom.ts";

const SOURCES = ["Martin, Cameron & Greiner 2007, Prev. Vet. Med. 79:71 (from memory)"];
const SUPPORT = "This supports a decision; it does not make one.";

/** A probability in words that never rounds up to certainty, which no digging gives. */
export function belowOne(probability: number, words: (value: number) => string): string {
  return words(probability) === words(1) ? `over ${words(0.9999)}` : words(probability);
}

export function freedomFormula(priorInfested: number, chain: FreedomChain): ShownFormula {
  const lines = chain.seasons.map(
    (one) =>
      `${one.season}: π = ${numberText(one.priorInfested)} (introduction ${numberText(one.introduction)}), ` +
      `P(free) = (1 − π)/(1 − π·Se) = (1 − ${numberText(one.priorInfested)})/` +
      `(1 − ${numberText(one.priorInfested)}·${numberText(one.detection)}) = ${belowOne(one.probabilityFree, numberText)}`,
  );
  return {
    formula: [
      `before the first season: π = ${numberText(priorInfested)}`,
      ...lines,
      `probability of being free: ${belowOne(chain.probabilityFree, percentText)}. ${SUPPORT}`,
    ].join("\n"),
    sources: SOURCES,
  };
}

/** `source`: where the pack has the probability of one carriage from. */
export function introductionFormula(perCarriage: number, introduction: Introduction, source: string): ShownFormula {
  const factors = introduction.terms.map(
    ({ arrival }) => `(1 − ${numberText(arrival.shareOfSoilLeft)}·${numberText(perCarriage)})`,
  );
  const product = factors.length === 0 ? "1" : factors.join("·");
  return {
    formula: `1 − Π(1 − share of soil left·p) = 1 − ${product} = ${numberText(introduction.probability)}`,
    sources: [...SOURCES, source],
  };
}

export function morePlantsFormula(priorInfested: number, wantedFree: number, more: MorePlants): ShownFormula {
  return {
    formula:
      `Se needed = (1 − (1 − π)/wanted)/π, with π = ${numberText(priorInfested)} and ${numberText(wantedFree)} wanted: ` +
      `${numberText(more.detectionNeeded)} → ${countText(more.plants, "more plant")}, all clean. ${SUPPORT}`,
    sources: SOURCES,
  };
}

import type { SporeDecline } from "../agronomy/spores.ts";
import type { SporeFigures } from "../schema/facts.ts";

export const SPORE_MODELS = ["exponential", "fast then slow"] as const;
export type SporeModel = (typeof SPORE_MODELS)[number];

/** Where the figures of a model stand in a region's pack. */
export const SPORE_MODEL_PATHS: Readonly<Record<SporeModel, string>> = {
  exponential: "spores.half_life_years",
  "fast then slow": "spores.fast_slow",
};

/** How spores decline by a model of the region's; undefined where the region does not give all of its figures. */
export function sporeDecline(model: SporeModel, figures: SporeFigures | undefined): SporeDecline | undefined {
  if (model === "exponential") {
    const halfLifeYears = figures?.half_life_years;
    return halfLifeYears === undefined ? undefined : { kind: "half-life", halfLifeYears };
  }
  const { fast_share: fastShare, fast_half_life_years: fast, slow_half_life_years: slow } = figures?.fast_slow ?? {};
  if (fastShare === undefined || fast === undefined || slow === undefined) return undefined;
  return { kind: "fast then slow", fastShare, fastHalfLifeYears: fast, slowHalfLifeYears: slow };
}

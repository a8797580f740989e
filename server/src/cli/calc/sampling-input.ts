import type { OptionDescription } from "../arguments.ts";
import type { CalcInput } from "./input.ts";
import type { RegionFigures } from "./region-figures.ts";

/** Options that several calculations share. Where one is not given, the region's figure is taken. */
export const SAMPLING_OPTIONS = {
  incidence: { type: "string", value: "SHARE", help: "the share of plants infected that is to be noticed" },
  sensitivity: { type: "string", value: "SHARE", help: "the chance that an infected plant, once dug, is noticed" },
  confidence: { type: "string", value: "SHARE", help: "how sure to be" },
  population: {
    type: "string",
    value: "N",
    help: "plants on the field; left out, so many that digging takes none away",
  },
  correlation: {
    type: "string",
    value: "RHO",
    help: "how much infected plants stand together at a stop, from 0 (spread evenly) to 1",
  },
} as const satisfies Record<string, OptionDescription>;

export function incidenceOf(input: CalcInput, region: RegionFigures): number {
  return (
    input.share("incidence") ??
    region.need("sampling.design_incidence", "incidence", (pack) => pack.sampling?.design_incidence)
  );
}

export function sensitivityOf(input: CalcInput, region: RegionFigures): number {
  return (
    input.share("sensitivity") ??
    region.need("sampling.root_sensitivity", "sensitivity", (pack) => pack.sampling?.root_sensitivity)
  );
}

export function confidenceOf(input: CalcInput, region: RegionFigures): number {
  return (
    input.share("confidence") ?? region.need("sampling.confidence", "confidence", (pack) => pack.sampling?.confidence)
  );
}

export function correlationOf(input: CalcInput, region: RegionFigures): number {
  return (
    input.share("correlation") ??
    region.need("sampling.clustering_correlation", "correlation", (pack) => pack.sampling?.clustering_correlation)
  );
}

export function plantsPerStopOf(input: CalcInput, region: RegionFigures): number {
  return (
    input.number("per-stop") ??
    region.need("scouting.plants_per_stop", "per-stop", (pack) => pack.scouting?.plants_per_stop)
  );
}

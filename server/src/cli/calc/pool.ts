import { numberText, percentText } from "../../agronomy/calculated.ts";
import { dilutionInPool, incidenceFromPools } from "../../agronomy/pools.ts";
import { poolFormula } from "../../agronomy/spores-formula.ts";
import { CommandFailure } from "../failure.ts";
import type { Calculation } from "./calculation.ts";
import { fractionOf, valueOf, type CalcInput } from "./input.ts";
import type { RegionFigures } from "./region-figures.ts";
import { confidenceOf, SAMPLING_OPTIONS } from "./sampling-input.ts";

export const pool: Calculation = {
  name: "pool",
  usage: "POSITIVE/POOLS --size K",
  summary: "the incidence behind pooled samples",
  help:
    "The share of single plants or soil cores infected, from pools of K of them of which some were positive: the usual\n" +
    "estimate, Burrows' less biased one, and the exact interval. With --spores, what is left of one infested core's count in\n" +
    "the pool, against the lab's limit.",
  examples: [
    "spadework calc pool 2/10 --size 5",
    "spadework calc pool 0/12 --size 5 --confidence 90%",
    "spadework calc pool 0/6 --size 10 --spores 4000",
  ],
  options: {
    size: { type: "string", value: "K", help: "plants or cores in each pool" },
    spores: { type: "string", value: "N", help: "spores per gram in one core, the others of its pool clean" },
    limit: { type: "string", value: "N", help: "the lab's detection limit, in spores per gram, with --spores" },
    confidence: SAMPLING_OPTIONS.confidence,
  },
  answer(input, region) {
    const [text, ...more] = input.positionals;
    if (text === undefined || more.length > 0) {
      throw new CommandFailure("calc pool takes the positive pools of all of them, such as 2/10");
    }
    const [positive, pools] = fractionOf(text, "positive pools of all of them are written 2/10");
    const size = input.number("size");
    if (size === undefined) throw new CommandFailure("say how many plants or cores are in each pool, such as --size 5");
    const confidence = confidenceOf(input, region);
    const found = valueOf(incidenceFromPools(positive, pools, size, confidence));
    const { lower, upper } = found.interval;
    const diluted = dilutionOf(size, input, region);
    return {
      says: [
        `${text} pools positive: ${percentText(found.estimate)} of single units (Burrows: ${percentText(found.burrows)}); ` +
          `with ${percentText(confidence)} confidence ${percentText(lower)} to ${percentText(upper)}.`,
        ...(diluted?.says ?? []),
      ],
      formulas: [poolFormula(positive, pools, size, confidence, found)],
      notes: ["A diluted pool can fall below the lab's limit: a negative pool is weak evidence."],
      values: {
        estimate: found.estimate,
        burrows: found.burrows,
        clopper_pearson: { lower, upper },
        pooled_spores_per_g: diluted?.sporesPerG ?? null,
        detectable: diluted?.detectable ?? null,
        inputs: { positive, pools, size, confidence },
      },
    };
  },
};

interface Dilution {
  readonly says: readonly string[];
  readonly sporesPerG: number;
  readonly detectable: boolean;
}

/** One infested core among clean ones; undefined where no count is given. */
function dilutionOf(size: number, input: CalcInput, region: RegionFigures): Dilution | undefined {
  const spores = input.number("spores");
  if (spores === undefined) {
    if (input.text("limit") !== undefined) throw new CommandFailure("--limit goes with --spores");
    return undefined;
  }
  const limit =
    input.number("limit") ??
    region.need("spores.detection_limit_per_g", "limit", (pack) => pack.spores?.detection_limit_per_g);
  const { sporesPerG, detectable } = valueOf(dilutionInPool(spores, 1, size, limit));
  const verdict = detectable ? "at or above" : "below";
  const says =
    `One core with ${numberText(spores)} spores per gram among ${numberText(size - 1)} clean ones leaves ` +
    `${numberText(sporesPerG)} in the pool, ${verdict} what the lab finds, ${numberText(limit)}.`;
  return { says: [says], sporesPerG, detectable };
}

import { percentText } from "../../agronomy/calculated.ts";
import { incidenceFromPools } from "../../agronomy/pools.ts";
import { poolFormula } from "../../agronomy/spores-formula.ts";
import { CommandFailure } from "../failure.ts";
import type { Calculation } from "./calculation.ts";
import { fractionOf, valueOf } from "./input.ts";
import { confidenceOf, SAMPLING_OPTIONS } from "./sampling-input.ts";

export const pool: Calculation = {
  name: "pool",
  usage: "POSITIVE/POOLS --size K",
  summary: "the incidence behind pooled samples",
  help:
    "The share of single plants or soil cores infected, from pools of K of them of which some were positive: the usual\n" +
    "estimate, Burrows' less biased one, and the exact interval.",
  examples: ["spadework calc pool 2/10 --size 5", "spadework calc pool 0/12 --size 5 --confidence 90%"],
  options: {
    size: { type: "string", value: "K", help: "plants or cores in each pool" },
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
    return {
      says: [
        `${text} pools positive: ${percentText(found.estimate)} of single units (Burrows: ${percentText(found.burrows)}); ` +
          `with ${percentText(confidence)} confidence ${percentText(lower)} to ${percentText(upper)}.`,
      ],
      formulas: [poolFormula(positive, pools, size, confidence, found)],
      notes: ["A diluted pool can fall below the lab's limit: a negative pool is weak evidence."],
      values: {
        estimate: found.estimate,
        burrows: found.burrows,
        clopper_pearson: { lower, upper },
        inputs: { positive, pools, size, confidence },
      },
    };
  },
};

import { percentText } from "../../agronomy/calculated.ts";
import { proportionIntervals } from "../../agronomy/interval.ts";
import { intervalFormula } from "../../agronomy/severity-formula.ts";
import { CommandFailure } from "../failure.ts";
import type { Calculation } from "./calculation.ts";
import { fractionOf, valueOf } from "./input.ts";
import { intervalValues } from "./interval-values.ts";
import { confidenceOf, SAMPLING_OPTIONS } from "./sampling-input.ts";

export const interval: Calculation = {
  name: "interval",
  usage: "FOUND/TOTAL",
  summary: "how far a share counted may be off",
  help:
    "The share found and its interval: exact (Clopper and Pearson), which holds at least as often as the confidence says, and\n" +
    "Wilson's, which is narrower and holds about as often.",
  examples: ["spadework calc interval 81/263", "spadework calc interval 0/100 --confidence 99%"],
  options: { confidence: SAMPLING_OPTIONS.confidence },
  answer(input, region) {
    const [text, ...more] = input.positionals;
    if (text === undefined || more.length > 0) {
      throw new CommandFailure("calc interval takes one count of a total, such as 81/263");
    }
    const [count, total] = fractionOf(text, "a count of a total is written 81/263");
    const confidence = confidenceOf(input, region);
    const found = valueOf(proportionIntervals(count, total, confidence));
    const range = ({ lower, upper }: { lower: number; upper: number }): string =>
      `${percentText(lower)} to ${percentText(upper)}`;
    return {
      says: [
        `${text} is ${percentText(found.proportion)}; with ${percentText(confidence)} confidence ` +
          `${range(found.clopperPearson)} (exact) or ${range(found.wilson)} (Wilson).`,
      ],
      formulas: [intervalFormula(count, total, confidence, found)],
      values: {
        proportion: found.proportion,
        ...intervalValues(found),
        inputs: { count, total, confidence },
      },
    };
  },
};

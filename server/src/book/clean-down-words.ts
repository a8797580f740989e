import { figure, figuresApart, plural } from "../base/words.ts";
import type { FactRecord } from "../records/record.ts";
import type { StepRecord } from "../schema/facts.ts";
import { cleanDown, type CleanDownShortcoming } from "../soil/clean-down.ts";
import type { Book } from "./book.ts";

/** What a cleaning lacks to be a full clean-down, as `not washed, bleach at 0.5 % where 1 % is asked`; empty when it is full. */
export function cleaningShortfalls(record: FactRecord<"cleanings">, book: Book): string {
  const steps = record.facts.steps ?? [];
  return shortcomingsInWords(cleanDown(steps, book.region.cleaning ?? {}).shortcomings, steps);
}

/** @param steps those of the cleaning, for the names of what was used */
export function shortcomingsInWords(
  shortcomings: readonly CleanDownShortcoming[],
  steps: readonly StepRecord[] = [],
): string {
  return shortcomings.map((each) => inWords(each, steps)).join(", ");
}

const MISSING = { "remove soil": "loose soil not removed", wash: "not washed", disinfect: "not disinfected" } as const;
const TOO_SOON = {
  "remove soil": "loose soil removed last",
  wash: "washed before the loose soil was off",
  disinfect: "disinfected too soon",
} as const;

function inWords(shortcoming: CleanDownShortcoming, steps: readonly StepRecord[]): string {
  switch (shortcoming.why) {
    case "step missing":
      return MISSING[shortcoming.step];
    case "step out of order":
      return TOO_SOON[shortcoming.step];
    case "strength not recorded":
      return `strength of the ${productName(steps[shortcoming.index])} not recorded`;
    case "too weak": {
      const [is, asked] = figuresApart(shortcoming.strengthPercent, shortcoming.neededPercent);
      return `${productName(steps[shortcoming.index])} at ${is} % where ${asked} % is asked`;
    }
    case "contact time not recorded":
      return "contact time not recorded";
    case "contact too short":
      return `${plural(Number(figure(shortcoming.minutes)), "minute")} where ${figure(shortcoming.neededMinutes)} are asked`;
  }
}

/** Longer than the name of any product: a note, or a mistake. */
const LONGEST_NAME = 40;

/** What a step disinfects with, as the record calls it: `bleach`. */
export function productName(step: StepRecord | undefined): string {
  const name = step?.product?.trim() ?? "";
  return name === "" || name.length > LONGEST_NAME ? "disinfectant" : name;
}

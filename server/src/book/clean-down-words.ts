import { figure } from "../base/words.ts";
import type { FactRecord } from "../records/record.ts";
import { cleanDown, type CleanDownShortcoming } from "../soil/clean-down.ts";
import type { Book } from "./book.ts";

/** What a cleaning lacks to be a full clean-down, as `not disinfected, 10 minutes where 15 are asked`; empty when it is full. */
export function cleaningShortfalls(record: FactRecord<"cleanings">, book: Book): string {
  return cleanDown(record.facts.steps ?? [], book.region.cleaning ?? {})
    .shortcomings.map(shortcomingInWords)
    .join(", ");
}

const MISSING = { "remove soil": "loose soil not removed", wash: "not washed", disinfect: "not disinfected" } as const;
const TOO_SOON = {
  "remove soil": "loose soil removed last",
  wash: "washed out of order",
  disinfect: "disinfected before washing",
} as const;

export function shortcomingInWords(shortcoming: CleanDownShortcoming): string {
  switch (shortcoming.why) {
    case "step missing":
      return MISSING[shortcoming.step];
    case "step out of order":
      return TOO_SOON[shortcoming.step];
    case "strength not recorded":
      return "strength of the mix not recorded";
    case "too weak":
      return `${figure(shortcoming.strengthPercent)} % where ${figure(shortcoming.neededPercent)} % is asked`;
    case "contact time not recorded":
      return "contact time not recorded";
    case "contact too short":
      return `${figure(shortcoming.minutes)} minutes where ${figure(shortcoming.neededMinutes)} are asked`;
  }
}

import type { Environment } from "@marcbachmann/cel-js";
import { parseDayOf } from "../../base/days.ts";
import { safePattern } from "../safe-pattern.ts";

/** Under this name `matches` is worked out by patterns that always end soon. */
export const SAFE_MATCHES = "matchesSafely";

/**
 * What checks have beside the functions of CEL: `day(text)`, the number of a date or time's day, so that days can be
 * counted, and `year(text)`; and sums and comparisons of whole and other numbers, which CEL refuses where it knows of both.
 */
export function registerCheckFunctions(environment: Environment): Environment {
  environment
    .registerFunction("day(string): int", (text: string) => BigInt(dayOf(text)))
    .registerFunction("year(string): int", (text: string) => (dayOf(text), BigInt(text.slice(0, 4))))
    .registerFunction(`string.${SAFE_MATCHES}(string): bool`, (text: string, pattern: string) => {
      const compiled = safePattern(pattern);
      return typeof compiled === "object" && compiled.found(text);
    });
  const sums: Readonly<Record<string, (a: number, b: number) => number>> = {
    "+": (a, b) => a + b,
    "-": (a, b) => a - b,
    "*": (a, b) => a * b,
    "/": (a, b) => a / b,
  };
  for (const [sign, sum] of Object.entries(sums)) {
    environment.registerOperator(`double ${sign} int`, (a: number, b: bigint) => sum(a, Number(b)));
    environment.registerOperator(`int ${sign} double`, (a: bigint, b: number) => sum(Number(a), b));
  }
  // The other way round, and `!=`, come with it.
  return environment.registerOperator(
    "double == int",
    (a: number | bigint, b: number | bigint) => Number(a) === Number(b),
  );
}

function dayOf(text: string): number {
  const day = parseDayOf(text);
  if (day === undefined) throw new Error(`"${text.slice(0, 40)}" is no date`);
  return day;
}

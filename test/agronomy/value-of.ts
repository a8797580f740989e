import { strict as assert } from "node:assert";
import type { Calculated } from "../../server/src/agronomy/calculated.ts";

/** The value of a calculation that must have one. */
export function valueOf<T>(result: Calculated<T>): T {
  assert.ok(result.ok, result.ok ? "" : result.error);
  return result.value;
}

/** The sentence of a calculation that must not have a value. */
export function errorOf(result: Calculated<unknown>): string {
  assert.ok(!result.ok, "an error was expected");
  return result.error;
}

export function near(actual: number, expected: number, tolerance: number): void {
  assert.ok(Math.abs(actual - expected) <= tolerance, `${actual} is not within ${tolerance} of ${expected}`);
}

/** Agrees with a printed figure to all of its decimals. */
export function printed(actual: number, figure: string): void {
  const decimals = figure.includes(".") ? figure.length - figure.indexOf(".") - 1 : 0;
  near(actual, Number(figure), 0.5 * 10 ** -decimals * (1 + 1e-9));
}

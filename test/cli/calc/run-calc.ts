import { strict as assert } from "node:assert";
import { spadework } from "../../support/command-line.ts";

export type Json = Record<string, unknown>;

/** What `calc` answers in JSON. */
export async function json(...args: string[]): Promise<Json> {
  const { code, out, error } = await spadework(["calc", ...args, "--format", "json"]);
  assert.equal(code, 0, error);
  return JSON.parse(out) as Json;
}

export async function text(...args: string[]): Promise<string> {
  const { code, out, error } = await spadework(["calc", ...args]);
  assert.equal(code, 0, error);
  return out;
}

/** The one line on standard error; exit code 2 and nothing else printed. */
export async function refused(...args: string[]): Promise<string> {
  const { code, out, error } = await spadework(["calc", ...args]);
  assert.equal(code, 2, args.join(" "));
  assert.equal(out, "");
  assert.equal(error.trim().split("\n").length, 1, error);
  assert.doesNotMatch(error, /undefined|NaN|Error|\bat \w+ \(/);
  return error;
}

/** The bounds of an interval. */
export const range = (value: unknown): [number, number] => {
  const { lower, upper } = value as { lower: number; upper: number };
  return [lower, upper];
};

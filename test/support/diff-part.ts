import { strict as assert } from "node:assert";
import { spadework } from "./command-line.ts";

/** The rows that `diff` writes under a title, as text or Markdown; none where it has no such part. */
export async function diffPart(title: string, args: readonly string[]): Promise<string[]> {
  const { out, code, error } = await spadework(["diff", ...args]);
  assert.equal(code, 0, error);
  const lines = out.split("\n");
  const at = lines.findIndex((line) => line.endsWith(title));
  if (at < 0) return [];
  const end = lines.findIndex((line, i) => i > at + 1 && line === "");
  return lines.slice(at + 1, end).filter((line) => line !== "");
}

import { strict as assert } from "node:assert";
import type { FeatureContext } from "../../server/src/features/context.ts";
import { contextOf } from "../../server/src/features/context.ts";
import { openFixture } from "./check.ts";
import { parseFixture } from "./fixture.ts";

/** A small book (see `fixture.ts`) with the cursor at `$0`: the context of the cursor's file, and the cursor's offset. */
export function atCursor(
  source: string,
  options?: { withBasics?: boolean },
): { context: FeatureContext; offset: number } {
  const fixture = parseFixture(source, options);
  assert.ok(fixture.cursor, "the text has no $0");
  return { context: inFile(source, fixture.cursor.file, options), offset: fixture.cursor.offset };
}

/** The same for features that look at a whole file: the first file of the text, unless one is named. */
export function inFile(source: string, path?: string, options?: { withBasics?: boolean }): FeatureContext {
  const fixture = parseFixture(source, options);
  const context = contextOf(openFixture(fixture), path ?? [...fixture.files.keys()][0]!);
  assert.ok(context, `no file ${path ?? ""} in the text`);
  return context;
}

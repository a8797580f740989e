// The examples that every shipped pack holds: small books with the findings they must and must not give.
import { strict as assert } from "node:assert";
import { shippedRegions } from "../../server/generated/regions.ts";
import { parseDay } from "../../server/src/base/days.ts";
import { openBook } from "../../server/src/book/open-book.ts";
import { runRules } from "../../server/src/rules/engine.ts";
import { publish } from "../../server/src/rules/publish.ts";
import { RULES } from "../../server/generated/rules.ts";
import { decodeRegion } from "../../server/src/schema/decode.ts";
import type { RegionExample } from "../../server/src/schema/facts.ts";
import { parseText } from "../../server/src/syntax/parse.ts";

function codesOf({ as_of, files }: RegionExample): Set<string> {
  const day = parseDay(as_of!)!;
  const sources = Object.entries(files ?? {}).map(([path, text]) => ({ path, text }));
  const opened = openBook(sources, { asOf: day, today: day, allSeasons: false });
  return new Set(publish(opened, runRules(opened.book, RULES), RULES).map(({ code }) => code));
}

describe("the examples in the shipped region packs", () => {
  for (const [name, text] of shippedRegions) {
    const examples = decodeRegion(parseText(text).root).value?.examples ?? [];

    it(`${name} has some that find something, and some that do not`, () => {
      assert.ok(examples.some(({ expect }) => (expect ?? []).length > 0));
      assert.ok(examples.some(({ expect }) => (expect ?? []).length === 0));
      for (const example of examples)
        assert.match(example.files?.["season.yaml"] ?? "", new RegExp(`^region: ${name}$`, "m"));
    });

    for (const example of examples) {
      it(`${name}: ${example.name ?? ""}`, () => {
        const found = codesOf(example);
        for (const code of example.expect ?? [])
          assert.ok(found.has(code), `${code} is not among ${[...found].join(", ")}`);
        for (const code of example.never ?? []) assert.ok(!found.has(code), `${code} is found`);
      });
    }
  }
});

import { strict as assert } from "node:assert";
import { RULE_PAGES, RULES } from "../../server/generated/rules.ts";
import { check } from "../support/check.ts";
import { parseFixture } from "../support/fixture.ts";

const SECTIONS = [
  "## Why it matters",
  "## What it looks at",
  "## What to do",
  "## An example that trips it",
  "## An example that does not",
];

describe("rule pages", () => {
  for (const rule of RULES) {
    describe(rule.code, () => {
      const page = RULE_PAGES[rule.code]!;
      const examples = [...page.matchAll(/^```yaml (trips|passes)\n([\s\S]*?)^```$/gm)].map(([, kind, text]) => ({
        kind,
        text: text!,
      }));

      it("has every section, a source and both kinds of example", () => {
        assert.ok(page.startsWith(`# ${rule.code}\n`), "the page begins with the code");
        for (const section of SECTIONS) assert.ok(page.includes(`\n${section}\n`), `no section "${section}"`);
        assert.match(page, /^Source: /m);
        assert.ok(examples.some((example) => example.kind === "trips"));
        assert.ok(examples.some((example) => example.kind === "passes"));
      });

      for (const [i, { kind, text }] of examples.entries()) {
        it(`example ${i + 1} ${kind}`, () => {
          const marks = parseFixture(text).marks.filter((mark) => mark.code === rule.code);
          assert.equal(
            marks.length > 0,
            kind === "trips",
            "an example that trips has a mark, one that passes has none",
          );
          const isOfThePage = (code: string): boolean =>
            code === rule.code ||
            (/^structure\/(syntax|schema|unknown)/.test(code) && !rule.code.startsWith("structure/"));
          check(text, { only: isOfThePage });
        });
      }
    });
  }
});

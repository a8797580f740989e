// Pages are Markdown; where they are shown as plain text, no sign of it is left over.
import { strict as assert } from "node:assert";
import { RULE_PAGES } from "../../server/generated/rules.ts";
import { readRulePage, withoutEscapes } from "../../server/src/output/rule-page-parts.ts";
import { pagesOfRegion } from "../../server/src/rules/region-rules.ts";
import { resolveRegion } from "../../server/src/schema/region.ts";

const PACK = `region: a
title: A_B
extends: base
checks:
  - code: own/late
    on: samples
    when: has(record.sent) && record.sent.matches(r'^2\\d')
    message: "sent after {region.notice.within_days} [days](x), see www.example.org"
    source: "order_4 *2025*"
`;

describe("the page of a region's own check as plain text", () => {
  const page = pagesOfRegion(resolveRegion("a.region.yaml", () => PACK))["own/late"]!;

  it("has the words as the pack writes them", () => {
    assert.match(page, /within\\_days/);
    const { summary, plainText, section } = readRulePage(page);
    assert.equal(summary, "Sent after {region.notice.within_days} [days](x), see www.example.org.");
    assert.equal(
      section("What it looks at"),
      "Samples for which this holds: has(record.sent) && record.sent.matches(r'^2\\d')",
    );
    assert.match(plainText, /^The region pack A_B \(a\.region\.yaml\)\.$/m);
    assert.match(plainText, /^Source: order_4 \*2025\*$/m);
  });

  it("keeps its headings and its code in a terminal, and loses its escapes", () => {
    const text = withoutEscapes(page);
    assert.match(text, /^## What it looks at$/m);
    assert.match(text, /^Sent after \{region\.notice\.within_days\} \[days\]\(x\), see www\.example\.org\.$/m);
    assert.match(text, /`has\(record\.sent\) && record\.sent\.matches\(r'\^2\\d'\)`/);
  });

  it("leaves the shipped pages as they are", () => {
    for (const shipped of Object.values(RULE_PAGES)) assert.equal(withoutEscapes(shipped), shipped);
  });
});

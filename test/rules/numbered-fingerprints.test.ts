import { strict as assert } from "node:assert";
import { numberedFingerprints } from "../../server/src/rules/numbered-fingerprints.ts";
import type { PublishedFinding } from "../../server/src/rules/publish.ts";
import { findingsOf } from "../support/check.ts";
import { parseFixture } from "../support/fixture.ts";

const VISITS = `#- 2026/august.visits.yaml
visits:
  - id: v1
    field: long-medow
    arrived: 2026-08-14T09:40
    left: 2026-08-14T10:40
    purpose: scouting
    crew: [mo]
    ground: wet
    digs:
      - { id: d1, place: headland, plants: 20, ratings: [19, 0, 0, 0] }
      - { id: d2, place: headland, plants: 20, ratings: [18, 0, 0, 0] }
`;

function known(source: string): Map<string, string> {
  const findings = findingsOf(parseFixture(source));
  return new Map(numberedFingerprints(findings).map((print, i) => [print, described(findings[i])]));
}

function described({ code, record, place }: PublishedFinding): string {
  return `${code} ${record.id} ${place}`;
}

describe("numbered fingerprints", () => {
  const before = known(VISITS);

  it("stay when lines move, a file is renamed or an item is added before", () => {
    assert.ok(before.size >= 4, [...before.values()].join("\n"));
    const moved = VISITS.replace("visits:\n", "# one\n\n# two\nvisits:\n").replace("august", "harvest");
    assert.deepEqual(known(moved), before);
    const added = VISITS.replace(
      "    digs:\n",
      "    digs:\n      - { id: d0, place: headland, plants: 9, ratings: [9] }\n",
    );
    for (const [print, words] of before) if (words.includes("ratings")) assert.ok(known(added).has(print), words);
  });

  it("keep records, places and equal findings apart, and number the equal ones", () => {
    const finding = {
      code: "a/b",
      file: "x.visits.yaml",
      record: { kind: "visits", id: "v1" },
      place: "crew",
    } as const;
    const all = [
      finding,
      finding,
      finding,
      { ...finding, place: "crew/mo" },
      { ...finding, code: "a/c" },
      { ...finding, record: { kind: "visits", id: "v2" } },
      { ...finding, record: { kind: "visits", id: "" } },
      { ...finding, record: { kind: "visits", id: "" }, file: "y.visits.yaml" },
      { ...finding, place: "p".repeat(100_000) },
      { ...finding, place: "p".repeat(100_001) },
    ] as const;
    const prints = numberedFingerprints(all);
    assert.equal(new Set(prints).size, all.length);
    for (const print of prints) assert.match(print, /^[0-9a-f]{32}$/);
    // One of several equal ones less leaves the others as they were known.
    assert.deepEqual(numberedFingerprints([finding, finding]), prints.slice(0, 2));
    assert.equal(
      new Set([...numberedFingerprints([finding], "west"), ...numberedFingerprints([finding], "east")]).size,
      2,
    );
  });
});

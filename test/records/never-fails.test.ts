import { strict as assert } from "node:assert";
import fc from "fast-check";
import { load } from "js-yaml";
import { findingsOf } from "../support/check.ts";
import { parseFixture, type Fixture } from "../support/fixture.ts";
import type { PublishedFinding } from "../../server/src/rules/publish.ts";

// The first and the last record each have one finding of their own; the middle one is what gets broken.
const FIRST = `visits:
  # the first walk of the month
  - id: v1
    field: long-meadow
    arrived: 2026-08-14T09:40
    left: 2026-08-14T11:05
    purpose: other
    ground: wet
`;
const MIDDLE = `  - id: v2
    field: mill-flat
    arrived: 2026-08-15T09:40   # by the north gate
    left: 2026-08-15T11:05
    purpose: scouting
    crew: [mo]
    equipment: [dig-kit]
    note: "dry knolls: 'nothing' to see"
    patches:
      - { id: p1, symptom: ripening early, area_m2: 60, position: [-104.610, 50.445] }
    digs:
      - id: d1
        place: patch
        patch: p1
        metres_in: 40
        plants: 20
        ratings: [20, 0, 0, 0]
        note: >
          taken on the left side,
          where machines turn
`;
const LAST = `  - id: v3
    field: east-rise
    arrived: 2026-08-16T09:40
    purpose: other
    ground: wet
`;
const FILE = "2026/august.visits.yaml";
const BASICS = parseFixture(`#- ${FILE}\nvisits: []`);

function findingsIn(text: string): PublishedFinding[] {
  const fixture: Fixture = { ...BASICS, files: new Map([...BASICS.files, [FILE, text]]) };
  return findingsOf(fixture).filter((finding) => finding.file === FILE);
}

function isStructure({ code }: PublishedFinding): boolean {
  return /^structure\/(syntax|schema|unknown-key|unknown-id|time-order)$/.test(code);
}

function wetVisits(findings: readonly PublishedFinding[]): string[] {
  return findings.filter(({ code }) => code === "entry/wet-ground").map(({ record }) => record.id);
}

function isReadable(text: string): boolean {
  // An empty file is one that holds no records yet.
  if (text.trim() === "") return true;
  try {
    load(text);
    return true;
  } catch {
    return false;
  }
}

/** What must hold of any text whatever: places lie in the text, and what js-yaml cannot read has a finding. */
function assertSound(text: string): PublishedFinding[] {
  const findings = findingsIn(text);
  const lines = text.split(/\r\n|\r|\n/);
  for (const { range, message, code } of findings) {
    for (const { line, character } of [range.start, range.end]) {
      assert.ok(
        line >= 0 && line < lines.length && character >= 0 && character <= lines[line]!.length,
        `${code} lies outside the text`,
      );
    }
    assert.ok(message.length > 10);
  }
  if (!isReadable(text)) assert.ok(findings.some(isStructure), `no finding for a text that cannot be read:\n${text}`);
  return findings;
}

describe("reading a broken file", () => {
  const whole = FIRST + MIDDLE + LAST;

  it("starts from a file with exactly two findings", () => {
    assert.deepEqual(
      findingsIn(whole).map(({ code, record }) => `${code} ${record.id}`),
      ["entry/wet-ground v1", "entry/wet-ground v3"],
    );
  });

  it("cut at every byte, still checks every record before the cut", () => {
    for (let at = 0; at <= whole.length; at++) {
      const findings = assertSound(whole.slice(0, at));
      if (at >= FIRST.length) assert.ok(wetVisits(findings).includes("v1"), `cut at ${at}`);
    }
  });

  it("with any line deleted, still checks the other records", () => {
    const lines = MIDDLE.trimEnd().split("\n");
    for (let i = 0; i < lines.length; i++) {
      const middle = [...lines.slice(0, i), ...lines.slice(i + 1)].join("\n");
      const findings = assertSound(`${FIRST}${middle}\n${LAST}`);
      assert.ok(wetVisits(findings).includes("v3"), `without line ${i + 1} of the middle record`);
      // Without its first line the middle record runs on from the one above, which then says everything twice.
      if (i > 0) assert.deepEqual(wetVisits(findings), ["v1", "v3"], `without line ${i + 1} of the middle record`);
    }
    const all = whole.trimEnd().split("\n");
    for (let i = 0; i < all.length; i++) assertSound([...all.slice(0, i), ...all.slice(i + 1)].join("\n"));
  });

  it("with any character put in anywhere, still checks the other records", () => {
    const characters = [..."\"'[]{}:-#&*!|>%@`,?~ \t\n\r\\x0", "\0", "\u0007", "\uD800", "\uFEFF", "🌱", "\u2028"];
    const lost: string[] = [];
    for (const character of characters) {
      for (let at = 0; at < MIDDLE.length; at++) {
        const middle = MIDDLE.slice(0, at) + character + MIDDLE.slice(at);
        const findings = assertSound(FIRST + middle + LAST);
        const wet = wetVisits(findings);
        const where = `${JSON.stringify(character)} put in at ${at} of the middle record`;
        // Without its dash the middle record runs on from the one above, which may then say something else.
        const isDashBroken = at < "  - ".length;
        if ((!wet.includes("v1") && !isDashBroken) || !wet.includes("v3")) lost.push(where);
      }
    }
    assert.deepEqual(lost, []);
  }).timeout(300_000);

  it("with random bytes anywhere in the file", () => {
    fc.assert(
      fc.property(fc.nat(whole.length), fc.string({ unit: "binary", maxLength: 8 }), fc.nat(20), (at, noise, cut) => {
        assertSound(whole.slice(0, at) + noise + whole.slice(at + cut));
      }),
      { numRuns: 3000 },
    );
  }).timeout(300_000);
});

describe("a file of several documents", () => {
  it("is told at its mark, and the records behind it are checked like the others", () => {
    const findings = findingsIn(`---\n${FIRST}---\nvisits:\n${LAST}`);
    assert.deepEqual(
      findings.map(({ code, range, record }) => `${range.start.line + 1} ${code} ${record.id}`),
      ["9 entry/wet-ground v1", "10 structure/syntax ", "16 entry/wet-ground v3"],
    );
  });
});

import { strict as assert } from "node:assert";
import { seasonFacts, type SeasonFacts } from "../../server/src/output/season/season-facts.ts";
import { carrierSeason } from "../../server/src/output/season/season-calendar-facts.ts";
import { seasonMapFacts } from "../../server/src/output/season/season-map-facts.ts";
import { ofGrower, wholeBook, type Viewpoint } from "../../server/src/output/season/viewpoint.ts";
import type { Book } from "../../server/src/book/book.ts";
import { openFixture } from "../support/check.ts";
import { parseFixture } from "../support/fixture.ts";

function facts(source: string, view: (book: Book) => Viewpoint = wholeBook): SeasonFacts {
  return seasonFacts(view(openFixture(parseFixture(source)).book), new Map());
}

function stepsOf(source: string, field = "long-meadow"): string[] {
  const found = facts(source).fields.find(({ id }) => id === field);
  assert.ok(found, field);
  return found.steps.map(({ what }) => what);
}

const FOUND = `#- a.fields.yaml
fields:
  - id: long-meadow
    name: Long Meadow
    clubroot: { found_on: 2024-08-01 }
`;

const HOST = `#- a.rotations.yaml
rotations:
  - field: long-meadow
    crops:
      - { year: 2026, crop: canola, seeded: 2026-05-10, swathed: 2026-08-20 }
`;

const dug = (ratings: string, more = ""): string => `#- a.visits.yaml
visits:
  - id: v1
    field: long-meadow
    arrived: 2026-08-15T08:00
    purpose: scouting
    digs: [{ id: d1, place: entrance, plants: 20, ratings: [${ratings}] }]
${more}`;

describe("what there is to do about a field", () => {
  it("is, where clubroot is confirmed, to ask about notice, until one is recorded, and to go there last", () => {
    assert.match(stepsOf(FOUND)[0]!, /^ask whether the find must be told/);
    const told = stepsOf(`${FOUND}    notices: [{ on: 2024-08-02, authority: county }]\n`);
    assert.deepEqual(told, ["go there last, and clean down in full whatever has been on it before it leaves"]);
  });

  it("is to change what is planned too early, or not resistant, on a field with a find", () => {
    const planned = `${FOUND}    notices: [{ on: 2024-08-02, authority: county }]
#- a.rotations.yaml
rotations:
  - field: long-meadow
    crops:
      - { year: 2024, crop: canola }
      - { year: 2025, crop: barley }
      - { year: 2026, crop: oats }
      - { year: 2027, crop: canola, resistance: { rating: S } }
`;
    // The region of the fixture, ca-prairies, asks for 3 years after a find: 2025, 2026 and 2027.
    assert.deepEqual(stepsOf(planned).slice(1), [
      "grow no host crop there before 2028",
      "choose a resistant variety for 2027, or better a crop that is no host",
    ]);
  });

  it("is to have galls tested, and to chase a result that is late, before anything else", () => {
    assert.deepEqual(stepsOf(`${HOST}${dug("18, 2, 0, 0")}`), [
      "send roots of dig d1 of 15 Aug to a lab",
      "treat it as confirmed until a lab has answered: go there last, and clean down in full",
    ]);
    assert.equal(facts(`${HOST}${dug("18, 2, 0, 0")}`).fields[0]!.steps.at(-1)!.why, "galls in dig d1 of v1");
    const sample = (sent: string): string => `#- a.samples.yaml
samples: [{ id: s1, field: long-meadow, visit: v1, dig: d1, material: roots, taken: 2026-08-15, lab: plains-lab, sent: ${sent} }]
`;
    const late = stepsOf(`#! as-of: 2026-09-30\n${HOST}${dug("18, 2, 0, 0")}${sample("2026-08-16")}`);
    assert.equal(late[0], "ask Plains Plant Diagnostics for the result of sample s1");
    const due = stepsOf(`#! as-of: 2026-08-20\n${HOST}${dug("18, 2, 0, 0")}${sample("2026-08-16")}`);
    assert.equal(due.at(-1), "wait for the result of sample s1");
    assert.match(due[0]!, /^treat it as confirmed/);
  });

  it("is to dig while the window is open, and to look at the stubble once it has closed", () => {
    // Swathing is not known yet: 105 days from seeding are 23 August, and the window closes 7 days later. 157 plants by the
    // region's sampling figures.
    assert.deepEqual(stepsOf(`#! as-of: 2026-08-10\n${HOST}`), ["dig 157 plants by 30 Aug"]);
    assert.match(stepsOf(`#! as-of: 2026-09-10\n${HOST}`)[0]!, /^look at roots in the stubble/);
    assert.deepEqual(stepsOf(`#! as-of: 2026-08-18\n${HOST}${dug("20, 0, 0, 0")}`), ["dig 137 more plants by 30 Aug"]);
  });

  it("is to say when it was seeded, where nothing tells of its window", () => {
    const bare = "#- a.rotations.yaml\nrotations: [{ field: long-meadow, crops: [{ year: 2026, crop: canola }] }]\n";
    assert.deepEqual(stepsOf(bare), ["record when it was seeded, so that the scouting window is known"]);
  });

  it("is nothing for a field without a host and without a find", () => {
    const wheat = "#- a.rotations.yaml\nrotations: [{ field: long-meadow, crops: [{ year: 2026, crop: wheat }] }]\n";
    assert.deepEqual(stepsOf(wheat), []);
  });
});

const WAY = `#- season.yaml
season: 2026
region: ca-prairies
growers: [{ id: oak }, { id: ash }]
#- a.fields.yaml
fields:
  - { id: source, name: Source Field, grower: oak, clubroot: { found_on: 2025-08-01 } }
  - id: middle
    name: Middle Field
    grower: ash
    entrances:
      - { id: east, position: [10.3, 50.3], usual: true }
      - { id: west, position: [10.1, 50.1] }
  - { id: end, name: End Field, grower: ash, entrances: [{ id: gate, position: [10.2, 50.2] }] }
#- a.equipment.yaml
equipment:
  - { id: oak-drill, kind: seeder, owner: oak }
  - { id: spade, kind: hand tools, owner: crew }
#- a.visits.yaml
visits:
  - { id: v1, field: source, arrived: 2026-05-01T08:00, left: 2026-05-01T09:00, purpose: seeding, equipment: [oak-drill] }
  - { id: v2, field: middle, entrance: west, arrived: 2026-05-02T08:00, left: 2026-05-02T09:00, purpose: seeding, equipment: [oak-drill, spade] }
  - { id: v3, field: end, arrived: 2026-05-03T08:00, left: 2026-05-03T09:00, purpose: other, equipment: [spade] }
#- a.cleanings.yaml
cleanings:
  - { id: c1, at: 2026-05-02T10:00, place: field entrance, field: middle, equipment: [spade], steps: [{ step: remove soil }] }
`;

describe("what there is to do about an exposed field", () => {
  const grown = (plants: number): string => `${WAY}#- a.rotations.yaml
rotations: [{ field: end, crops: [{ year: 2026, crop: canola, seeded: 2026-05-10, swathed: 2026-08-20 }, { year: 2029, crop: canola }] }]
#- b.visits.yaml
visits:
  - id: w1
    field: end
    arrived: 2026-08-15T08:00
    purpose: scouting
    digs: [{ id: d1, place: entrance, plants: ${plants}, ratings: [${plants}, 0, 0, 0] }]
`;

  it("is to dig what is lacking while the window is open, and no more this season once that is dug", () => {
    assert.match(
      stepsOf(`#! as-of: 2026-08-18\n${grown(100)}`, "end")[0]!,
      /^dig 57 more plants by 30 Aug, after the clean/,
    );
    assert.match(
      stepsOf(`#! as-of: 2026-08-18\n${grown(160)}`, "end")[0]!,
      /^dig in 2029, when it grows canola again, after/,
    );
  });
});

describe("the ways of soil", () => {
  it("are numbered in order of time, each once, and begin at the entrance that was used", () => {
    const all = facts(WAY);
    assert.deepEqual(
      all.moves.map(({ number, carriage: { from, to, carrier }, exposes }) => [number, from, to, carrier, exposes]),
      [
        [1, "source", "middle", "oak-drill", ["End Field", "Middle Field"]],
        [2, "middle", "end", "spade", ["End Field"]],
      ],
    );
    const { moves, description } = seasonMapFacts(all);
    assert.deepEqual(
      [moves[0]!.end, moves[1]!.end],
      [
        [10.1, 50.1],
        [10.2, 50.2],
      ],
    );
    assert.match(description, /Not drawn, for neither an outline nor an entrance is recorded: Source Field\./);
  });

  it("are told to a grower without what is another's", () => {
    const ash = facts(WAY, (book) => ofGrower(book, "ash"));
    assert.deepEqual(
      ash.fields.map(({ name, why }) => [name, why]),
      [
        [
          "End Field",
          "soil of a neighbouring field may have come to Middle Field on another farm's seeder (left 1 May, arrived 2 May), then here on spade (left 2 May, arrived 3 May), about 10 % of it left",
        ],
        [
          "Middle Field",
          "soil of a neighbouring field may have come here on another farm's seeder (left 1 May, arrived 2 May), all of it left",
        ],
      ],
    );
    const { moves } = seasonMapFacts(ash);
    assert.equal(moves[0]!.start, undefined);
    const oak = facts(WAY, (book) => ofGrower(book, "oak"));
    assert.deepEqual(
      oak.moves.map(({ exposes }) => exposes),
      [["a neighbouring field", "a neighbouring field"]],
    );
    const told = JSON.stringify([
      seasonMapFacts(oak),
      carrierSeason(oak),
      oak.fields.map(({ name, why, steps }) => [name, why, steps]),
    ]);
    assert.doesNotMatch(told, /Middle|End Field|middle|\bend\b|v2|v3|spade|c1/);
  });
});

describe("the place where a dig is drawn", () => {
  it("is its own, else its patch's, else for one at the entrance that of the visit, else the usual one's", () => {
    const source = `#- a.fields.yaml
fields:
  - { id: long-meadow, entrances: [{ id: a, position: [1, 51] }, { id: b, position: [2, 52], usual: true }] }
#- a.visits.yaml
visits:
  - id: v1
    field: long-meadow
    entrance: a
    arrived: 2026-08-15T08:00
    purpose: scouting
    patches: [{ id: p1, position: [3, 53] }, { id: p2 }]
    digs:
      - { id: own, place: entrance, plants: 1, position: [4, 54] }
      - { id: patch, place: patch, patch: p1, plants: 1 }
      - { id: lost, place: patch, patch: p2, plants: 1 }
      - { id: used, place: entrance, plants: 1 }
      - { id: low, place: low spot, plants: 1 }
  - { id: v2, field: long-meadow, arrived: 2026-08-16T08:00, purpose: scouting, digs: [{ id: usual, place: entrance, plants: 1 }] }
`;
    assert.deepEqual(
      facts(source).digs.map(({ dig, position }) => [dig.id, position?.[0]]),
      [
        ["own", 4],
        ["patch", 3],
        ["lost", undefined],
        ["used", 1],
        ["low", undefined],
        ["usual", 2],
      ],
    );
  });
});

describe("a carrier's season", () => {
  it("tells each visit with how the carrier was cleaned before the next, and where it went on uncleaned", () => {
    const { visits, calendar } = carrierSeason(facts(WAY));
    assert.deepEqual(
      visits.map(({ carrier, visit, cleanings, wentOn }) => [
        carrier,
        visit?.words,
        cleanings.map(({ words }) => words),
        wentOn?.words,
      ]),
      [
        [
          "oak-drill",
          "on Source Field, 1 May 08:00 to 09:00, seeding",
          [],
          "from Source Field to Middle Field with no clean-down recorded in between",
        ],
        ["oak-drill", "on Middle Field, 2 May 08:00 to 09:00, seeding", [], undefined],
        [
          "spade",
          "on Middle Field, 2 May 08:00 to 09:00, seeding",
          ["cleaned, but not in full (not washed, not disinfected), 2 May 10:00, at the entrance of Middle Field"],
          "from Middle Field to End Field after a clean-down that fell short: about 10 % of the soil may be left",
        ],
        ["spade", "on End Field, 3 May 08:00 to 09:00, other", [], undefined],
      ],
    );
    assert.deepEqual(
      calendar.rows.map(({ name, stays, cleanings, gaps }) => [name, stays.length, cleanings.length, gaps.length]),
      [
        ["oak-drill", 2, 0, 1],
        ["spade", 2, 1, 1],
      ],
    );
  });
});

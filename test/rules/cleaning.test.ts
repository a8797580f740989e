import { strict as assert } from "node:assert";
import { bestPartialCleaning, cleaningsBetween, type CarrierHistory } from "../../server/src/book/carrier-history.ts";
import { factRecord } from "../../server/src/records/record.ts";
import type { PublishedFinding } from "../../server/src/rules/publish.ts";
import { check, findingsOf } from "../support/check.ts";
import { parseFixture } from "../support/fixture.ts";

const cleaning = { only: (code: string) => code.startsWith("cleaning/") };
const onlyMoves = { only: (code: string) => code === "cleaning/missing" || code === "cleaning/incomplete" };

/** A book with one cleaning, and in it one disinfect step among the steps of a full clean-down. */
function disinfecting(step: string, region = "ca-prairies", packs = ""): PublishedFinding[] {
  const book = `#- season.yaml
season: 2026
region: ${region}
${packs}
#- all.cleanings.yaml
cleanings:
  - id: c1
    at: 2026-05-08T16:10
    equipment: [dig-kit]
    steps:
      - { step: remove soil }
      - { step: wash, with: water }
      - { step: disinfect, ${step} }
`;
  return findingsOf(parseFixture(book)).filter(({ code }) => code.startsWith("cleaning/"));
}

const codes = (findings: readonly PublishedFinding[]): string[] =>
  findings.map(({ code }) => code.slice("cleaning/".length));

/** Visits of the dig kit on Long Meadow until 11:05 and on Mill Flat from 13:00, with cleanings at such times. */
function moved(...cleanings: string[]): PublishedFinding[] {
  const book = `#- all.visits.yaml
visits:
  - { id: v1, field: long-meadow, arrived: 2026-08-14T09:40, left: 2026-08-14T11:05, purpose: other, equipment: [dig-kit] }
  - { id: v2, field: mill-flat, arrived: 2026-08-14T13:00, left: 2026-08-14T14:00, purpose: other, equipment: [dig-kit] }
#- all.cleanings.yaml
cleanings:
${cleanings.join("\n")}
`;
  return findingsOf(parseFixture(book)).filter(({ code }) => onlyMoves.only(code));
}

const FULL = "[{ step: remove soil }, { step: wash }, { step: disinfect, strength_percent: 1, contact_minutes: 15 }]";
const knockedOff = (id: string, time: string): string =>
  `  - { id: ${id}, at: 2026-08-14T${time}, equipment: [dig-kit], steps: [{ step: remove soil }] }`;
const inFull = (id: string, time: string): string =>
  `  - { id: ${id}, at: 2026-08-14T${time}, equipment: [dig-kit], steps: ${FULL} }`;

describe("cleaning/missing and cleaning/incomplete", () => {
  it("count a cleaning from the minute of leaving to the minute of arriving", () => {
    for (const time of ["11:05", "12:00", "13:00"]) {
      assert.deepEqual(codes(moved(inFull("c1", time))), [], time);
      assert.deepEqual(codes(moved(knockedOff("c1", time))), ["incomplete"], time);
    }
    for (const time of ["11:04", "13:01"]) {
      assert.deepEqual(codes(moved(inFull("c1", time))), ["missing"], time);
      assert.deepEqual(codes(moved(knockedOff("c1", time), inFull("c2", "12:00"))), [], time);
    }
  });

  it("link the cleaning that fell short, at the figure that did, and the visit before", () => {
    const steps =
      "[{ step: remove soil }, { step: wash }, { step: disinfect, product: bleach, strength_percent: 1, contact_minutes: 10 }]";
    const [finding] = moved(`  - { id: c1, at: 2026-08-14T12:00, equipment: [dig-kit], steps: ${steps} }`);
    assert.deepEqual(
      finding!.related.map(({ file, range, message }) => [
        file,
        range.start.line,
        range.end.character - range.start.character,
        message,
      ]),
      [
        ["all.cleanings.yaml", 1, 2, "the cleaning that fell short: 10 minutes where 15 are asked"],
        ["all.visits.yaml", 1, 16, "the visit before, when dig-kit left Long Meadow"],
      ],
    );
  });

  it("say what is left to do: clean it, or where that is done by now, dig the field it came to", () => {
    assert.match(moved()[0]!.message, /and if not, remove the soil, wash and disinfect it before the next field$/);
    assert.match(
      moved(inFull("c1", "15:00"))[0]!.message,
      /and if not, dig Mill Flat with more care: soil may have come along$/,
    );
    assert.match(
      moved(knockedOff("c1", "12:00"))[0]!.message,
      /10 % of the soil left\); remove the soil, wash and disinfect it/,
    );
    assert.match(
      moved(knockedOff("c1", "12:00"), inFull("c2", "15:00"))[0]!.message,
      /; dig Mill Flat with more care: soil may have come along$/,
    );
  });

  it("leave a stay that began before the last one ended to structure/time-order", () => {
    check(
      `#- all.visits.yaml
visits:
  - { id: v1, field: long-meadow, arrived: 2026-08-14T09:40, left: 2026-08-14T11:05, purpose: other, equipment: [dig-kit] }
  - { id: v2, field: mill-flat, arrived: 2026-08-14T11:04, left: 2026-08-14T12:00, purpose: other, equipment: [dig-kit] }
  - id: v3
    field: east-rise
    arrived: 2026-08-14T12:00
    purpose: other
    equipment: [dig-kit]
    #           ^^^^^^^ warning cleaning/missing: dig-kit went from Mill Flat to East Rise on 14 Aug
`,
      onlyMoves,
    );
  });

  it("look at later visits of the season, or of every year, up to the as-of day", () => {
    const book = (marks: boolean): string => `#! as-of: 2026-08-15
${marks ? "#! all-seasons\n" : ""}#- all.visits.yaml
visits:
  - { id: v1, field: long-meadow, arrived: 2025-08-13T09:40, purpose: other, equipment: [dig-kit] }
  - { id: v2, field: mill-flat, arrived: 2025-08-14T09:40, purpose: other, equipment: [dig-kit] }
${marks ? "    #                                                                                  ^^^^^^^ warning cleaning/missing: from Long Meadow (13 Aug 2025) to Mill Flat (14 Aug 2025)\n" : ""}  - { id: v3, field: east-rise, arrived: 2026-08-14T09:40, purpose: other, equipment: [dig-kit] }
    #                                                                                  ^^^^^^^ warning cleaning/missing: from Mill Flat (14 Aug 2025) to East Rise (14 Aug)
  - { id: v4, field: mill-flat, arrived: 2026-08-16T09:40, purpose: other, equipment: [dig-kit] }
`;
    check(book(false), onlyMoves);
    check(book(true), onlyMoves);
  });

  it("tell of each carrier of a visit by itself", () => {
    const findings = check(
      `#- all.visits.yaml
visits:
  - { id: v1, field: long-meadow, arrived: 2026-08-14T09:40, purpose: other, crew: [mo, ines], footwear: unprotected, equipment: [dig-kit] }
  - id: v2
    field: mill-flat
    arrived: 2026-08-14T13:00
    purpose: other
    crew: [mo, ines]
    footwear: unprotected
    #         ^^^^^^^^^^^ warning cleaning/missing: the boots of ines went
    #         ^^^^^^^^^^^ warning cleaning/missing: the boots of mo went
    equipment: [dig-kit]
#- all.cleanings.yaml
cleanings:
  - { id: c1, at: 2026-08-14T10:00, equipment: [dig-kit], steps: ${FULL} }
`,
      onlyMoves,
    );
    assert.ok(findings.every(({ message }) => message.endsWith("wash and disinfect them before the next field")));
  });

  it("are silenced by a comment with a reason, where they stand", () => {
    check(
      `#- all.visits.yaml
visits:
  - { id: v1, field: long-meadow, arrived: 2026-08-14T09:40, purpose: other, equipment: [dig-kit] }
  # accept cleaning/missing: the two are one field but for the fence
  - { id: v2, field: mill-flat, arrived: 2026-08-14T13:00, purpose: other, equipment: [dig-kit] }
`,
      onlyMoves,
    );
  });
});

describe("the best of several cleanings", () => {
  const at = (minute: number, soilLeft: number, lacking: number): CarrierHistory["cleanings"][number] => ({
    record: factRecord("cleanings", "", `c${minute}`, {}),
    at: minute,
    result: {
      full: lacking === 0,
      soilLeft,
      shortcomings: Array.from({ length: lacking }, () => ({ why: "step missing", step: "wash" })),
    },
  });

  it("left least soil, then lacked least, then came last; a full one is none of them", () => {
    const best = (...cleanings: CarrierHistory["cleanings"]): number | undefined => bestPartialCleaning(cleanings)?.at;
    assert.equal(best(at(1, 0.01, 2), at(2, 0.1, 1)), 1);
    assert.equal(best(at(1, 0.1, 1), at(2, 0.1, 2)), 1);
    assert.equal(best(at(1, 0.1, 1), at(2, 0.1, 1)), 2);
    assert.equal(best(at(1, 0, 0)), undefined);
    assert.equal(best(), undefined);
  });

  it("is looked for among those in between, both ends included", () => {
    const cleanings = [1, 3, 3, 5, 8].map((minute) => at(minute, 1, 1));
    const carrier: CarrierHistory = { id: "dig-kit", label: "dig-kit", equipment: undefined, stays: [], cleanings };
    for (let from = 0; from < 10; from++) {
      for (let to = from; to < 10; to++) {
        assert.deepEqual(
          cleaningsBetween(carrier, from, to),
          cleanings.filter((each) => each.at >= from && each.at <= to),
        );
      }
    }
  });
});

describe("cleaning/step-missing and cleaning/step-order", () => {
  it("an empty list lacks all three; a step that cannot be read is not counted as lacking", () => {
    check(
      `#- all.cleanings.yaml
cleanings:
  - id: c1
    at: 2026-05-08T16:10
    equipment: [dig-kit]
    steps: []
  # ^^^^^ warning cleaning/step-missing: no removal of loose soil, no washing and no disinfecting, so it is partial and leaves all of the soil
  - id: c2
    at: 2026-05-08T16:20
    equipment: [dig-kit]
    steps: [{ step: remove soil }, { step: wahs }, { step: disinfect, strength_percent: 1, contact_minutes: 15 }]
  - { id: c3, at: 2025-05-08T16:20, equipment: [dig-kit], steps: [] }
  - { id: c4, at: 2026-11-08T16:20, equipment: [dig-kit], steps: [] }
`,
      cleaning,
    );
  });

  it("a step out of place links what comes first", () => {
    const findings = check(
      `#- all.cleanings.yaml
cleanings:
  - id: c1
    at: 2026-05-08T16:10
    equipment: [dig-kit]
    steps:
      - { step: wash }
      #         ^^^^ warning cleaning/step-order: washed before the loose soil was off, which spreads the soil about; do it again in order
      - { step: remove soil }
      - { step: disinfect, strength_percent: 1, contact_minutes: 15 }
`,
      cleaning,
    );
    assert.deepEqual(
      findings[0]!.related.map(({ range, message }) => [range.start.line, message]),
      [[7, "this comes first"]],
    );
  });
});

describe("cleaning/strength-too-low and cleaning/contact-too-short", () => {
  it("speak from just below the figure, and never call two figures the same", () => {
    assert.deepEqual(codes(disinfecting("strength_percent: 1, contact_minutes: 15")), []);
    const [strength, contact] = disinfecting("product: bleach, strength_percent: 0.999, contact_minutes: 14.999");
    assert.match(strength!.message, /^bleach at 0\.999 % is too weak where 1 % is asked;/);
    assert.match(contact!.message, /^the bleach had 14\.999 minutes to work where 15 are asked;/);
  });

  it("a mix of which the strength is not known is not called weak", () => {
    assert.deepEqual(codes(disinfecting("contact_minutes: 15")), []);
    assert.deepEqual(codes(disinfecting("stock_percent: 5.25, stock_l: 2, contact_minutes: 15")), []);
    assert.deepEqual(codes(disinfecting("stock_percent: 5.25, stock_l: 0, water_l: 0, contact_minutes: 15")), []);
  });

  it("say so where even the stock is too weak", () => {
    const [finding] = disinfecting(
      "product: old bleach, stock_percent: 0.8, stock_l: 5, water_l: 0, contact_minutes: 15",
    );
    assert.match(finding!.message, /0\.8 % old bleach is too weak for 1 % even undiluted/);
  });

  it("stay silent where the region gives no figure", () => {
    const packs = "#- bare.region.yaml\nregion: bare\ntitle: Bare";
    const step = "stock_percent: 5.25, stock_l: 1, water_l: 50, strength_percent: 9, contact_minutes: 1";
    assert.deepEqual(codes(disinfecting(step, "ca-prairies")), ["mix-mismatch", "contact-too-short"]);
    assert.deepEqual(codes(disinfecting(step, "bare.region.yaml", packs)), []);
  });
});

describe("mixing, against published tables", () => {
  const asking = (percent: number): string => `#- asks.region.yaml
region: asks
title: Asks
extends: base
cleaning: { strength_percent: ${percent} }
sources: { cleaning.strength_percent: made up for a test }`;

  // CDC, Best Practices for Environmental Cleaning, appendix E: parts of water to one part of bleach.
  const parts: [stock: number, wanted: number, water: number][] = [
    [3.5, 0.5, 6],
    [5, 0.1, 49],
  ];
  for (const [stock, wanted, water] of parts) {
    it(`${stock} % with ${water} parts of water is ${wanted} %; with one part more it is too weak, and the message gives the recipe`, () => {
      const mix = (litres: number): string =>
        `stock_percent: ${stock}, stock_l: 1, water_l: ${litres}, contact_minutes: 15`;
      assert.deepEqual(codes(disinfecting(mix(water), "asks.region.yaml", asking(wanted))), []);
      const [weak] = disinfecting(mix(water + 1), "asks.region.yaml", asking(wanted));
      assert.equal(weak!.code, "cleaning/strength-too-low");
      assert.ok(
        weak!.message.includes(`${wanted} % takes ${water} L of water to each litre of ${stock} %`),
        weak!.message,
      );
    });
  }

  // Millilitres of bleach in 10 L of mix: recomputed from the same formula.
  const inTenLitres: [stock: number, wanted: number, ml: number][] = [
    [5.25, 1, 1905],
    [5.25, 2, 3810],
    [8.25, 1, 1212],
    [6, 1, 1667],
    [12, 1, 833],
  ];
  for (const [stock, wanted, ml] of inTenLitres) {
    it(`${ml} mL of ${stock} % in 10 L agree with ${wanted} %, and not with a tenth and a little more or less`, () => {
      const mix = `stock_percent: ${stock}, stock_l: ${ml / 1000}, water_l: ${(10_000 - ml) / 1000}, contact_minutes: 15`;
      const recorded = (percent: number): string[] => codes(disinfecting(`${mix}, strength_percent: ${percent}`));
      assert.deepEqual(recorded(wanted), []);
      // The tolerance is a tenth of the recorded strength: 1/1.1 and 1/0.9 of the true one.
      assert.deepEqual(recorded(wanted / 0.905), []);
      assert.deepEqual(recorded(wanted / 0.895), ["mix-mismatch"]);
      assert.ok(!recorded(wanted / 1.095).includes("mix-mismatch"));
      assert.ok(recorded(wanted / 1.105).includes("mix-mismatch"));
    });
  }

  // Traps in printed recipes: "1:10" of 5.25 % is 0.48 %, "10 % bleach" of 5.25 % is 0.5 % hypochlorite (arithmetic as above).
  it('"1:10" is not 1 %, and the note that says so is linked', () => {
    const mix = "product: bleach, stock_percent: 5.25, stock_l: 1, water_l: 10, contact_minutes: 15";
    const [finding] = disinfecting(`${mix}, strength_percent: 1, note: mixed 1:10`);
    assert.equal(finding!.code, "cleaning/mix-mismatch");
    assert.match(
      finding!.message,
      /^the mix \(1 L of 5\.25 % bleach in 10 L of water, 1:10\) comes to 0\.48 %, not the 1 % recorded;/,
    );
    assert.match(finding!.related[0]!.message, /^"1:10" is 1 part to 10 of water.*0\.48 %/);
  });

  it('"10 % bleach" is a share of bleach, and the strength to mix is the region\'s', () => {
    const mix = "product: 10 % bleach, stock_percent: 5.25, stock_l: 1, contact_minutes: 15, strength_percent: 10";
    for (const water of [9, 10]) {
      const [finding] = disinfecting(`${mix}, water_l: ${water}`);
      assert.match(
        finding!.message,
        /not the 10 % recorded, which is the share of .* in the mix and not its strength.*\(1 % takes 4\.25 L/,
      );
    }
  });

  it("the strength as bought is no strength of a mix", () => {
    const [finding] = disinfecting(
      "product: bleach, stock_percent: 5.25, stock_l: 1, water_l: 4.25, contact_minutes: 15, strength_percent: 5.25",
    );
    assert.match(
      finding!.message,
      /comes to 1 %, not the 5\.25 % recorded, which is the strength of the bleach as bought/,
    );
  });

  it("amounts at the edge of numbers give a sentence or nothing, and no crash", () => {
    const amounts = ["0", "1e308", "5e-324", "0.001"];
    for (const stock of amounts) {
      for (const water of amounts) {
        const found = disinfecting(
          `stock_percent: 5.25, stock_l: ${stock}, water_l: ${water}, strength_percent: 1, contact_minutes: 15`,
        );
        for (const { message } of found) assert.doesNotMatch(message, /NaN|undefined/);
      }
    }
  });

  it("a product's name that is a whole note is not repeated", () => {
    const [finding] = disinfecting(`product: ${"very ".repeat(20)}good, strength_percent: 0.5, contact_minutes: 15`);
    assert.match(finding!.message, /^disinfectant at 0\.5 % is too weak/);
  });
});

describe("cleaning/acquired-uncleaned", () => {
  const book = (acquired: string, visits: string, cleanings: string, options = ""): PublishedFinding[] =>
    findingsOf(
      parseFixture(`${options}#- all.equipment.yaml
equipment:
  - { id: seeder-2, kind: seeder, acquired: ${acquired} }
#- all.visits.yaml
visits: [${visits}]
#- all.cleanings.yaml
cleanings: [${cleanings}]
`),
    ).filter(({ code }) => code === "cleaning/acquired-uncleaned");
  const visit = (id: string, arrived: string): string =>
    `{ id: ${id}, field: long-meadow, arrived: ${arrived}, purpose: seeding, equipment: [seeder-2] }`;
  const full = (at: string): string => `{ id: c1, at: ${at}, equipment: [seeder-2], steps: ${FULL} }`;
  const bought = "{ on: 2026-03-04 }";
  const first = visit("v1", "2026-05-09T07:00");

  it("asks for a full clean-down from the day it came to the minute of its first visit", () => {
    assert.equal(book(bought, first, full("2026-03-03T23:59")).length, 1);
    assert.equal(book(bought, first, full("2026-03-04T00:00")).length, 0);
    assert.equal(book(bought, first, full("2026-05-09T07:00")).length, 0);
    assert.equal(book(bought, first, full("2026-05-09T07:01")).length, 1);
  });

  it("asks for a clean-down now only where none has followed", () => {
    assert.match(
      book(bought, first, "")[0]!.message,
      /, so remove the soil, wash and disinfect it before the next field, and dig there with more care$/,
    );
    assert.match(
      book(bought, first, full("2026-05-10T07:00"))[0]!.message,
      /without a clean-down, so dig there with more care$/,
    );
  });

  it("takes for the first visit the first since it came", () => {
    const lent = visit("v0", "2025-05-09T07:00");
    assert.match(
      book(bought, `${lent}, ${first}`, "")[0]!.message,
      /^seeder-2 came on 4 Mar from outside .* Long Meadow on 9 May without a clean-down/,
    );
    assert.equal(book(bought, `${lent}, ${first}`, full("2026-04-01T07:00")).length, 0);
  });

  it("looks at what came in the season, or first worked in it", () => {
    const lastYear = "{ on: 2025-10-04, from: auction }";
    assert.match(book(lastYear, first, "")[0]!.message, /came on 4 Oct 2025 from auction/);
    assert.equal(book(lastYear, "", "").length, 0);
    assert.equal(book(lastYear, visit("v1", "2025-10-09T07:00"), "").length, 0);
    assert.equal(book(lastYear, visit("v1", "2025-10-09T07:00"), "", "#! all-seasons\n").length, 1);
    assert.equal(book(bought, "", "").length, 1);
    assert.equal(book(bought, "", "", "#! as-of: 2026-03-03\n").length, 0);
  });

  it("without a day, goes by the first visit", () => {
    assert.match(
      book("{ from: auction }", first, "")[0]!.message,
      /^seeder-2 came from auction and is not recorded as cleaned before that; it went onto/,
    );
    assert.equal(book("{ from: auction }", first, full("2024-03-03T23:59")).length, 0);
    assert.equal(book("{ from: auction }", "", "").length, 0);
  });
});

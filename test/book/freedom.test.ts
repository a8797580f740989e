import { strict as assert } from "node:assert";
import { fieldRisk } from "../../server/src/book/field-risk.ts";
import { fieldFreedom, type FieldFreedom } from "../../server/src/book/freedom.ts";
import { freedomInWords, freeInWords } from "../../server/src/book/freedom-words.ts";
import type { Book } from "../../server/src/book/book.ts";
import { near } from "../agronomy/value-of.ts";
import { openFixture } from "../support/check.ts";
import { inFolder, spadework } from "../support/command-line.ts";
import { parseFixture } from "../support/fixture.ts";

/** A pack whose plants count one by one, so that its figures can be reckoned by hand. */
const PLAIN_PACK = `#- plain.region.yaml
region: plain
hosts: [canola]
sampling: { confidence: 0.95, design_incidence: 0.05, root_sensitivity: 0.9 }
freedom: { prior_infested: 0.2, introduction_per_carriage: 0.5 }
trace: { look_back_days: 365 }
cleaning: { soil_left: { remove soil: 0.1 } }
`;
const SEASON = "#- season.yaml\nseason: 2026\nregion: plain.region.yaml\ncrew: [{ id: mo, name: M. Okafor }]\n";
const FIELDS = `#- all.fields.yaml
fields:
  - { id: long-meadow, name: Long Meadow }
  - { id: mill-flat, name: Mill Flat, clubroot: { found_on: 2025-09-01 } }
`;

const bookOf = (visits: string, more = "", pack = PLAIN_PACK): Book =>
  openFixture(parseFixture(`${SEASON}${pack}${FIELDS}#- all.visits.yaml\nvisits:\n${visits}${more}`)).book;

const dig = (day: string, plants: number, ratings = `[${plants}, 0, 0, 0]`, place = "entrance"): string =>
  `  - { id: v-${day}, field: long-meadow, arrived: ${day}T09:00, left: ${day}T10:00, purpose: scouting, ` +
  `digs: [{ id: d1, place: ${place}, plants: ${plants}, ratings: ${ratings} }] }\n`;

const work = (id: string, field: string, day: string): string =>
  `  - { id: ${id}, field: ${field}, arrived: ${day}T09:00, left: ${day}T10:00, purpose: soil work, equipment: [disc] }\n`;

function freedomOf(book: Book, field = "long-meadow"): FieldFreedom | undefined {
  const freedom = fieldFreedom(book.fieldHistory(field), book);
  assert.equal(fieldRisk(book.fieldHistory(field), book).probabilityFree, freedom?.probabilityFree);
  return freedom;
}
const free = (visits: string, more = ""): number => freedomOf(bookOf(visits, more))!.probabilityFree;

describe("the freedom of a field", () => {
  it("is the formula's, season by season (Martin, Cameron & Greiner 2007, from memory)", () => {
    // P(free) = (1 − π)/(1 − π·Se). Detection as in RSurveillance's vectors: p = .05, Se = .9, 10 plants .368994, 20 .601831.
    const first = 0.8 / (1 - 0.2 * 0.368994);
    near(free(dig("2025-08-10", 10)), first, 1e-6);
    near(free(dig("2025-08-10", 10) + dig("2026-08-10", 20)), first / (1 - (1 - first) * 0.601831), 1e-6);
  });

  it("rests on the prior alone where nothing was dug", () => {
    near(free("  - { id: v1, field: long-meadow, arrived: 2026-05-01T09:00, purpose: other }\n"), 0.8, 1e-12);
  });

  it("rises with every clean plant", () => {
    let before = 0.8;
    for (const plants of [1, 10, 50, 200]) {
      const now = free(dig("2026-08-10", plants));
      assert.ok(now > before, `${plants} plants`);
      before = now;
    }
  });

  it("falls with soil from infested ground, the more of it the lower, and less after a part cleaning", () => {
    const dug = dig("2026-08-10", 20);
    const carried = work("w1", "mill-flat", "2026-05-01") + work("w2", "long-meadow", "2026-05-03");
    const cleaning =
      "#- all.cleanings.yaml\ncleanings:\n  - { id: c1, at: 2026-05-02T09:00, equipment: [disc], steps: [{ step: remove soil }] }\n";
    const [none, some, all, twice] = [
      free(dug),
      free(dug + carried, cleaning),
      free(dug + carried),
      free(dug + carried + work("w3", "mill-flat", "2026-05-04") + work("w4", "long-meadow", "2026-05-05")),
    ];
    assert.ok(none > some && some > all && all > twice, [none, some, all, twice].join(" "));
    // Half of one carriage brings it in: π' = 1 − 0.8·0.5 = 0.6; a tenth of the soil left: 1 − 0.8·0.95 = 0.24.
    near(all, 0.4 / (1 - 0.6 * 0.601831), 1e-6);
    near(some, 0.76 / (1 - 0.24 * 0.601831), 1e-6);
  });

  it("counts soil that came after the last digs against it, and what the scouts bring in on them too", () => {
    const carried = work("w1", "mill-flat", "2026-09-01") + work("w2", "long-meadow", "2026-09-03");
    near(free(dig("2026-08-10", 20) + carried), (0.8 / (1 - 0.2 * 0.601831)) * 0.5, 1e-6);
    const terms = freedomOf(bookOf(dig("2026-08-10", 20) + carried))!.terms;
    assert.deepEqual(
      terms.map(({ season, plantsPerStop, arrivals }) => [season, plantsPerStop, arrivals.length]),
      [
        [2026, [20], 0],
        [2026, [], 1],
      ],
    );
  });

  it("counts the soil that a chain brings by way of a third field", () => {
    const third = "#- more.fields.yaml\nfields:\n  - { id: east-rise, name: East Rise }\n";
    const cleaning =
      "#- all.cleanings.yaml\ncleanings:\n  - { id: c1, at: 2026-05-02T09:00, equipment: [disc], steps: [{ step: remove soil }] }\n";
    const way = work("w1", "mill-flat", "2026-05-01") + work("w2", "east-rise", "2026-05-03");
    const boots = (id: string, field: string, day: string): string =>
      `  - { id: ${id}, field: ${field}, arrived: ${day}T09:00, left: ${day}T10:00, purpose: other, crew: [mo], footwear: unprotected }\n`;
    const chain = way + boots("b1", "east-rise", "2026-05-04") + boots("b2", "long-meadow", "2026-05-05");
    const [arrival] = freedomOf(bookOf(chain, cleaning + third))!.terms[0]!.arrivals;
    assert.deepEqual([arrival?.carriage.from, arrival?.carriage.carrier], ["east-rise", "boots/mo"]);
    near(arrival!.soilLeft, 0.1, 1e-12);
  });

  it("is not told of a confirmed field, nor where galls were seen that no lab has cleared", () => {
    const galls = dig("2026-08-10", 20, "[19, 1, 0, 0]");
    const result = (finding: string): string =>
      `#- all.samples.yaml\nsamples:\n  - { id: s1, field: long-meadow, visit: v-2026-08-10, dig: d1, material: roots, taken: 2026-08-10, ` +
      `result: { reported: 2026-09-01, finding: ${finding} } }\n`;
    assert.equal(freedomOf(bookOf(galls), "mill-flat"), undefined);
    assert.equal(freedomOf(bookOf(galls)), undefined);
    assert.equal(freedomOf(bookOf(galls, result("detected"))), undefined);
    near(free(galls, result("not detected")), free(dig("2026-08-10", 20)), 1e-12);
    // Galls of an earlier year are not forgotten.
    assert.equal(freedomOf(bookOf(dig("2024-08-10", 20, "[19, 1, 0, 0]") + dig("2026-08-10", 200))), undefined);
  });

  it("is not told where the region lacks a figure", () => {
    for (const figure of [
      "prior_infested: 0.2",
      "introduction_per_carriage: 0.5",
      "look_back_days: 365",
      "root_sensitivity: 0.9",
    ]) {
      const pack = PLAIN_PACK.replace(new RegExp(`(, )?${figure.replace(".", "\\.")}`), "").replace("{ , ", "{ ");
      assert.notEqual(pack, PLAIN_PACK);
      assert.equal(freedomOf(bookOf(dig("2026-08-10", 20), "", pack)), undefined, figure);
    }
  });

  it("does not count unrated plants, other visits' digs, or digs before the window opened", () => {
    const unrated =
      "  - { id: v1, field: long-meadow, arrived: 2026-08-10T09:00, purpose: scouting, digs: [{ id: d1, plants: 50 }] }\n";
    near(free(unrated), 0.8, 1e-12);
    near(free(dig("2026-08-10", 50).replace("scouting", "harvest")), 0.8, 1e-12);
    const pack = PLAIN_PACK.replace(
      "trace:",
      "scouting: { opens_days_before_swath: 14, closes_days_after_swath: 7 }\ntrace:",
    );
    const crop =
      "#- all.rotations.yaml\nrotations:\n  - { field: long-meadow, crops: [{ year: 2026, crop: canola, swathed: 2026-08-27 }] }\n";
    const p = (day: string): number => freedomOf(bookOf(dig(day, 50), crop, pack))!.probabilityFree;
    near(p("2026-08-12"), 0.8, 1e-12);
    near(p("2026-08-13"), free(dig("2026-08-13", 50)), 1e-12);
    near(p("2026-09-20"), p("2026-08-13"), 1e-12);
  });

  it("with the region's clustering, plants of one place prove less than plants of a walk", () => {
    const pack = PLAIN_PACK.replace(
      "root_sensitivity: 0.9",
      "root_sensitivity: 0.9, clustering_correlation: 0.1",
    ).replace("trace:", "scouting: { plants_per_stop: 10 }\ntrace:");
    const p = (place: string): number =>
      freedomOf(bookOf(dig("2026-08-10", 100, undefined, place), "", pack))!.probabilityFree;
    const oneByOne = free(dig("2026-08-10", 100));
    assert.ok(p("entrance") < p("along the route") && p("along the route") < oneByOne);
    const walk = freedomOf(bookOf(dig("2026-08-10", 95, undefined, "along the route"), "", pack))!;
    assert.deepEqual(walk.terms[0]!.plantsPerStop, [10, 10, 10, 10, 10, 10, 10, 10, 10, 5]);
  });

  it("the more plants it asks for raise it to the book's confidence, and one fewer would not", () => {
    const now = freedomOf(bookOf(dig("2026-08-10", 20)))!;
    assert.ok(now.probabilityFree < 0.95 && now.morePlants! > 0);
    assert.ok(free(dig("2026-08-10", 20 + now.morePlants!)) >= 0.95);
    assert.ok(free(dig("2026-08-10", 20 + now.morePlants! - 1)) < 0.95);
    assert.equal(freedomOf(bookOf(dig("2026-08-10", 200)))!.morePlants, 0);
  });

  it("shows every term for a hover, with formulas and the region's figures", () => {
    const carried = work("w1", "mill-flat", "2026-05-01") + work("w2", "long-meadow", "2026-05-03");
    const book = bookOf(carried + dig("2026-08-10", 20));
    const words = freedomInWords(freedomOf(book)!, book);
    const said = words.says.join("\n");
    assert.match(
      said,
      /^free of clubroot in 5 % of the plants or more with 6\d % probability: decision support, not proof$/m,
    );
    assert.match(said, /^3 May: disc came from Mill Flat, all of infested soil left$/m);
    assert.match(said, /^2026: brought in with 50 %$/m);
    assert.match(said, /^2026: 20 clean plants at 1 stop would have found it with 60.18 %, free with 6\d %$/m);
    assert.match(said, /^\d+ more plants, all clean, would raise it to 95 %$/m);
    assert.deepEqual(words.formulas.length, 3);
    for (const { sources } of words.formulas) assert.ok(sources.length > 0);
    assert.ok(words.figures.includes("freedom.prior_infested"));
  });

  it("is never rounded up", () => {
    assert.equal(freeInWords(0.939), "free with 93 %");
    assert.equal(freeInWords(0.99999), "free with 99.9 %");
    assert.equal(freeInWords(0.9), "free with 90 %");
    assert.equal(freeInWords(1), "free with 99.9 %");
  });

  it("stands in the risk as text, JSON and CSV", async () => {
    const book = parseFixture(`${SEASON}${PLAIN_PACK}${FIELDS}#- all.visits.yaml\nvisits:\n${dig("2026-08-10", 20)}`);
    await inFolder(Object.fromEntries(book.files), async (folder) => {
      const [text, json, csv] = await Promise.all(
        ["text", "json", "csv"].map((format) => spadework(["risk", folder, "--format", format])),
      );
      assert.match(text!.out, /Long Meadow .* free with 90 %/);
      assert.match(text!.out, /"Free with" is the chance .* decision support, not proof/);
      const { fields } = JSON.parse(json!.out) as { fields: { field: string; probability_free: number | null }[] };
      assert.deepEqual(
        fields.map(({ field }) => field),
        ["long-meadow", "mill-flat"],
      );
      near(fields[0]!.probability_free!, 0.8 / (1 - 0.2 * 0.601831), 1e-6);
      assert.equal(fields[1]!.probability_free, null);
      const [header, first] = csv!.out.split("\r\n").map((line) => line.split(","));
      assert.equal(Number(first![header!.indexOf("probability_free")]), fields[0]!.probability_free);
    });
  });
});

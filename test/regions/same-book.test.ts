// The same book under each shipped pack gives what the pack's sources say. Status of each source: read, or from memory. Where a
// pack knows no figure, nothing is found and nothing is shown.
import { strict as assert } from "node:assert";
import { shippedRegions } from "../../server/generated/regions.ts";
import { formatDay } from "../../server/src/base/days.ts";
import type { Book } from "../../server/src/book/book.ts";
import { scoutingWindow } from "../../server/src/book/scouting-window.ts";
import { sporesFigure } from "../../server/src/features/hover/figures-of-samples.ts";
import { acidityFigure } from "../../server/src/features/hover/figures-of-soil.ts";
import { resolveRegion } from "../../server/src/schema/region.ts";
import { findingsOf, openFixture } from "../support/check.ts";
import { parseFixture, type Fixture } from "../support/fixture.ts";

type Row<T> = readonly [pack: string, expected: T, source: string];

/** One check a pack: the table names every pack that is shipped. */
function table<T>(what: string, rows: readonly Row<T>[], found: (pack: string) => T): void {
  describe(what, () => {
    it("is told of every shipped pack", () => {
      assert.deepEqual(rows.map(([pack]) => pack).sort(), [...shippedRegions.keys()].sort());
    });
    for (const [pack, expected, source] of rows)
      it(`${pack}: ${JSON.stringify(expected ?? "not known")} (${source})`, () =>
        assert.deepEqual(found(pack), expected));
  });
}

interface Choice {
  readonly asOf?: string;
  readonly field?: string;
  readonly crops?: string;
  readonly files?: string;
}

function fixtureOf(pack: string, { asOf = "2026-06-01", field = "", crops = "", files = "" }: Choice): Fixture {
  const rotations = crops && `#- a.rotations.yaml\nrotations: [{ field: oak, crops: [${crops}] }]\n`;
  return parseFixture(
    `#! as-of: ${asOf}\n#- season.yaml\nseason: 2026\nregion: ${pack}\n#- a.fields.yaml\nfields: [{ id: oak, name: Oak${field} }]\n` +
      rotations +
      files,
    { withBasics: false },
  );
}

const codesOf = (pack: string, choice: Choice): string[] => findingsOf(fixtureOf(pack, choice)).map(({ code }) => code);
const bookOf = (pack: string, choice: Choice): Book => openFixture(fixtureOf(pack, choice)).book;

/** Oilseed rape, so many years of wheat, and oilseed rape again in 2026. */
function rotation(between: number, rating = "R"): string {
  const years = Array.from({ length: between }, (_, i) => `{ year: ${2026 - between + i}, crop: wheat }`);
  const hosts = [
    `{ year: ${2025 - between}, crop: rapeseed }`,
    `{ year: 2026, crop: rapeseed, resistance: { rating: ${rating} } }`,
  ];
  return [hosts[0], ...years, hosts[1]].join(", ");
}

/** The shortest break that the pack does not find too short; undefined where it finds none so. */
function shortestBreak(pack: string, code: string, field: string): number | undefined {
  const isFound = (between: number): boolean => codesOf(pack, { field, crops: rotation(between) }).includes(code);
  if (!isFound(0)) return undefined;
  return Array.from({ length: 12 }, (_, i) => i).find((between) => !isFound(between));
}

table<number | undefined>(
  "years without a host that the same rotation must have",
  [
    ["base", 2, "Peng et al. 2015, read"],
    ["ca-prairies", 2, "Canadian extension services 2017 and 2020, read: two years between, 1 in 3"],
    ["ca-ab", 2, "the same"],
    ["ca-mb", 2, "the same"],
    ["gb", 4, "United Kingdom, read: rape no more than 1 in 5"],
    ["se", 3, "Sweden, read: a rotation of four years"],
    ["au", 5, "Australia, read: at least five host-free years"],
  ],
  (pack) => shortestBreak(pack, "rotation/break-too-short", ""),
);

const FOUND = ", clubroot: { found_on: 2010-09-02 }, notices: [{ on: 2010-09-02 }]";

table<number | undefined>(
  "years without a host after a find",
  [
    ["base", undefined, "each region's own; nothing is asked"],
    ["ca-prairies", 3, "St. Paul County, Alberta, read: none for three years"],
    ["ca-ab", 3, "St. Paul County, Alberta, read: none for three years"],
    ["ca-mb", 3, "the Prairies' figure"],
    ["gb", undefined, "no source was read"],
    ["se", 5, "Jonsson et al. 2016, read: hardly any left where rape came every sixth year"],
    ["au", 5, "Australia, read: at least five host-free years"],
  ],
  (pack) => shortestBreak(pack, "rotation/break-after-find", FOUND),
);

describe("canola that returns after a find under Alberta's county policy", () => {
  // St. Paul County, read: three years none, in the fourth a resistant variety only. A find of autumn 2022, canola in the year
  // named, which it returns to after so many years.
  const ROWS: readonly [year: string, between: number, rating: string, expected: string[]][] = [
    ["first", 0, "R", ["rotation/break-after-find"]],
    ["second", 1, "R", ["rotation/break-after-find"]],
    ["third", 2, "R", ["rotation/break-after-find"]],
    ["fourth, resistant", 3, "R", []],
    ["fourth, susceptible", 3, "S", ["rotation/susceptible-on-infested"]],
    ["fourth, moderately susceptible", 3, "MS", ["rotation/susceptible-on-infested"]],
  ];
  for (const [year, between, rating, expected] of ROWS) {
    it(`in the ${year} year`, () => {
      const found = codesOf("ca-ab", { field: FOUND, crops: rotation(between, rating) });
      assert.deepEqual(
        found.filter((code) => code.startsWith("rotation/")),
        expected,
      );
    });
  }
});

table<boolean>(
  "a find that nobody was told of, two weeks on",
  [
    ["base", false, "a duty is each region's own"],
    ["ca-prairies", true, "common practice, no source; ask the municipality"],
    ["ca-ab", true, "Agricultural Pests Act, read: a declared pest; the days are common practice"],
    ["ca-mb", false, "no duty was read in a source"],
    ["gb", false, "no duty was read in a source"],
    ["se", false, "no duty was read in a source"],
    ["au", false, "no duty was read in a source"],
  ],
  (pack) => codesOf(pack, { field: ", clubroot: { found_on: 2026-05-15 }" }).includes("trace/notice-missing"),
);

table<(string | undefined)[]>(
  "the band of 900, 5,000, 50,000 and 90,000 spores per gram",
  [
    ...["base", "ca-prairies", "ca-ab", "ca-mb"].map((pack): Row<(string | undefined)[]> => [
      pack,
      ["up to 1000", "above 1000 up to 10,000", "above 10,000 up to 80,000", "above 80,000"],
      "Manitoba's map, read: to 1,000; 1,001 to 10,000; 10,001 to 80,000; over",
    ]),
    ...["gb", "se", "au"].map((pack): Row<(string | undefined)[]> => [
      pack,
      [undefined, undefined, undefined, undefined],
      "no bands there",
    ]),
  ],
  (pack) => {
    const book = bookOf(pack, {});
    return [900, 5000, 50_000, 90_000].map(
      (count) => /in the region's band ([^;]*)/.exec(sporesFigure(count, book)?.says ?? "")?.[1],
    );
  },
);

table<number | undefined>(
  "gene copies per gram above which a resistant variety is grown",
  [
    ...["base", "ca-prairies", "ca-ab", "ca-mb", "gb", "au"].map((pack): Row<number | undefined> => [
      pack,
      undefined,
      "no source was read",
    ]),
    ["se", 1300, "Wallenhammar et al. 2021, read: above 1,300 gene copies/g"],
  ],
  (pack) => resolveRegion(pack, () => undefined).pack.spores?.resistant_from_gene_copies_per_g,
);

table<string>(
  "a soil of pH 6.4",
  [
    ...["base", "ca-prairies", "ca-ab", "ca-mb", "se"].map((pack): Row<string> => [
      pack,
      "pH 6.4 is 0.8 below the 7.2 or more that liming aims at",
      "liming aims at 7.2 or more, read",
    ]),
    ["gb", "pH 6.4 is 0.6 below the 7 or more that liming aims at", "SRUC 2017, read: above 7"],
    ["au", "pH 6.4 is 0.6 below the 7 or more that liming aims at", "Australia, read: pH 7.0 to 7.5"],
  ],
  (pack) => acidityFigure(6.4, bookOf(pack, {}))!.says,
);

const AUTUMN = "{ year: 2026, crop: rapeseed, seeded: 2025-08-25 }";
const SPRING = "{ year: 2026, crop: rapeseed, seeded: 2026-05-11 }";

function windowOf(pack: string, crops: string): string | undefined {
  const book = bookOf(pack, { crops });
  const window = scoutingWindow(book.fieldHistory("oak").crops[0]!, book);
  return window && `${formatDay(window.opens)} to ${formatDay(window.closes)}`;
}

table<(string | undefined)[]>(
  "the season of a day in October, and the windows of a crop sown in August and of one sown in May",
  [
    ...["base", "ca-prairies", "ca-ab", "ca-mb"].map((pack): Row<(string | undefined)[]> => [
      pack,
      // 11 May and 105 days: 24 August. Sown in August nothing is ripe by December, yet the count is the region's.
      ["2025", "2025-11-24 to 2025-12-15", "2026-08-10 to 2026-08-31"],
      "spring types, read: 85 to 110 days; dig two weeks before swathing",
    ]),
    ...["gb", "se"].map((pack): Row<(string | undefined)[]> => [
      pack,
      ["2026", "2025-10-24 to 2025-12-23", undefined],
      "common practice: late autumn, two to four months after sowing",
    ]),
    ["au", ["2025", undefined, undefined], "sown in autumn, harvested in spring of the same year; no window was read"],
  ],
  (pack) => [
    String(bookOf(pack, {}).seasonOfDay(Date.UTC(2025, 9, 20) / 86_400_000)),
    windowOf(pack, AUTUMN),
    windowOf(pack, SPRING),
  ],
);

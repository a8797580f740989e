import { strict as assert } from "node:assert";
import { check } from "../support/check.ts";

const only = (...codes: string[]) => ({ only: (found: string): boolean => codes.includes(found) });
const rotation = (...crops: string[]): string =>
  `#- farm.rotations.yaml\nrotations:\n  - field: long-meadow\n    crops:\n${crops.map((crop) => `      ${crop}\n`).join("")}`;
const crop = (year: number, name: string, rest = ""): string => `- { year: ${year}, crop: ${name}${rest} }`;
/** A mark under the name of the crop on the line above. */
const under = (name: string, finding: string): string => `#                     ${"^".repeat(name.length)} ${finding}`;
const found = (day: string): string =>
  `#- a.fields.yaml\nfields: [{ id: long-meadow, name: Long Meadow, clubroot: { found_on: ${day} } }]\n`;
const season = (region: string): string => `#- season.yaml\nseason: 2026\nregion: ${region}\n`;

describe("rotation/break-too-short and rotation/break-after-find", () => {
  const both = only("rotation/break-too-short", "rotation/break-after-find");
  const years = (...names: string[]): string[] => names.map((name, i) => crop(2026 - names.length + i, name));
  const short = (message: string): string => under("canola", `warning rotation/break-too-short: ${message}`);
  const after = (message: string): string => under("canola", `error rotation/break-after-find: ${message}`);

  it("count the years between, one by one", () => {
    const now = crop(2026, "canola");
    check(
      rotation(
        ...years("canola"),
        now,
        short("after no year without a host, where 2 are needed; grow no host there before 2028"),
      ),
      both,
    );
    check(rotation(...years("canola", "barley"), now, short("after 1 year without a host")), both);
    check(rotation(...years("canola", "barley", "oats"), now), both);
    check(
      found("2020-08-01") +
        rotation(...years("canola", "barley", "oats"), now, after("2 years without a host, where 3 are needed")),
      both,
    );
    check(found("2020-08-01") + rotation(...years("canola", "barley", "oats", "field peas"), now), both);
  });

  it("are silent where no earlier host is recorded", () => {
    check(rotation(crop(2026, "canola")), both);
    check(rotation(crop(2025, "barley"), crop(2026, "canola")), both);
  });

  it("turn from the one to the other on the day of the find", () => {
    const crops = (mark: string): string => rotation(...years("canola", "barley"), crop(2026, "canola"), mark);
    check(`#! as-of: 2026-08-19\n#! today: 2026-10-31\n${found("2026-08-20")}${crops(short("1 year"))}`, both);
    check(
      `#! as-of: 2026-08-20\n#! today: 2026-10-31\n${found("2026-08-20")}${crops(after("on a field where clubroot was found on 20 Aug;"))}`,
      both,
    );
  });

  it("know a find by a sample, and link to it and to the crop before", () => {
    const sample =
      "#- a.samples.yaml\nsamples: [{ id: s1, field: long-meadow, material: soil, taken: 2025-08-01, result: { reported: 2025-08-20, finding: detected } }]\n";
    const [finding] = check(
      sample + rotation(...years("canola", "barley"), crop(2026, "canola"), after("20 Aug 2025")),
      both,
    );
    assert.deepEqual(
      finding.related.map((one) => [one.file, one.range.start.line, one.message]),
      [
        ["farm.rotations.yaml", 3, "canola in 2024"],
        ["a.samples.yaml", 0, "the find"],
      ],
    );
  });

  it("ask for nothing where the region has no figure", () => {
    const region = (rest: string): string =>
      `${season("own.region.yaml")}#- own.region.yaml\nregion: own\ntitle: Own\nhosts: [canola]\n${rest}`;
    const crops = (mark: string): string => rotation(...years("canola"), crop(2026, "canola"), mark);
    check(region("") + crops(""), both);
    check(region("") + found("2020-08-01") + crops(""), both);
    check(region("rotation: { break_years: 1 }\n") + crops(short("where 1 is needed")), both);
    check(region("rotation: { break_years: 1 }\n") + found("2020-08-01") + crops(""), both);
    check(region("rotation: { break_years: 0, break_years_after_find: 0 }\n") + found("2020-08-01") + crops(""), both);
  });

  it("let a missing year neither break nor satisfy", () => {
    const gap = [crop(2022, "canola"), crop(2024, "barley"), crop(2026, "canola")];
    check(
      rotation(
        ...gap,
        short(
          "1 year without a host (nothing is recorded for 2023 and 2025, so that does not count), where 2 are needed; record what grew in the missing years",
        ),
      ),
      both,
    );
    const wide = [crop(2021, "canola"), crop(2026, "canola")];
    check(rotation(...wide, short("nothing is recorded for 2022 to 2025")), both);
    // Even with the missing year two are not reached, so recording it is no way out.
    check(rotation(crop(2024, "canola"), crop(2026, "canola"), short("grow no host there before 2028")), both);
    check(rotation(crop(2021, "canola"), crop(2023, "barley"), crop(2025, "oats"), crop(2026, "canola")), both);
  });

  it("take a year with volunteers for a host year", () => {
    const volunteers = crop(2025, "barley", ", volunteers: present");
    check(
      rotation(
        crop(2023, "canola"),
        crop(2024, "oats"),
        volunteers,
        crop(2026, "canola"),
        short("volunteers in barley in 2025 after no year"),
      ),
      both,
    );
  });

  it("take two crops in one year for one year, and a year with a host for a host year", () => {
    check(
      rotation(
        crop(2024, "canola"),
        crop(2025, "barley"),
        crop(2025, "oats"),
        crop(2026, "canola"),
        short("after 1 year"),
      ),
      both,
    );
    check(rotation(crop(2025, "canola"), crop(2025, "barley"), crop(2026, "canola"), short("after no year")), both);
    check(rotation(crop(2025, "barley"), crop(2026, "mustard"), crop(2026, "canola")), both);
  });

  it("name the host crop of a year before the volunteers in another", () => {
    const volunteers = crop(2025, "barley", ", volunteers: present");
    check(rotation(crop(2025, "canola"), volunteers, crop(2026, "canola"), short("follows canola in 2025")), both);
    check(rotation(volunteers, crop(2025, "canola"), crop(2026, "canola"), short("follows canola in 2025")), both);
  });

  it("read a field's years from all its rotations, in order of the years", () => {
    const other = "#- b.rotations.yaml\nrotations: [{ field: long-meadow, crops: [{ year: 2024, crop: Canola }] }]\n";
    check(other + rotation(crop(2026, "canola"), short("follows Canola in 2024"), crop(2025, "barley")), both);
  });

  it("look at planned years, and at past ones only when all are asked for", () => {
    const crops = (past: string, planned: string): string =>
      rotation(
        crop(2022, "canola"),
        crop(2023, "canola"),
        past,
        crop(2024, "barley"),
        crop(2025, "oats"),
        crop(2026, "peas"),
        crop(2028, "canola"),
        crop(2029, "canola"),
        planned,
      );
    check(crops("", short("in 2029 follows canola in 2028")), both);
    check(`#! all-seasons\n${crops(short("in 2023 follows canola in 2022"), short("in 2029"))}`, both);
  });

  it("say when the next host may follow once the crop is grown", () => {
    const grown = crop(2026, "canola", ", seeded: 2026-05-10");
    check(rotation(crop(2025, "canola"), grown, short("grow no host there again before 2029")), both);
    check(
      `#! as-of: 2026-05-09\n#! today: 2026-10-31\n${rotation(crop(2025, "canola"), grown, short("grow no host there before 2028"))}`,
      both,
    );
  });

  it("are silent in a book that names no season", () => {
    check(`#- season.yaml\nregion: ca-prairies\n${rotation(crop(2025, "canola"), crop(2026, "canola"))}`, both);
  });

  it("can be accepted with a reason", () => {
    check(
      rotation(crop(2025, "canola"), "# accept rotation/break-too-short: a trial plot", crop(2026, "canola")),
      only("rotation/break-too-short", "structure/accept-unused"),
    );
  });
});

describe("rotation/susceptible-on-infested", () => {
  const rule = only("rotation/susceptible-on-infested");
  const code = "error rotation/susceptible-on-infested";

  it("speaks of S, MS and unrated, not of R and MR", () => {
    const rated = (rating: string): string => crop(2026, "canola", `, resistance: { rating: ${rating} }`);
    for (const rating of ["R", "MR"]) check(found("2025-08-01") + rotation(rated(rating)), rule);
    for (const rating of ["S", "MS"])
      check(found("2025-08-01") + rotation(rated(rating), under("canola", `${code}: is rated ${rating}, and`)), rule);
    check(
      found("2025-08-01") +
        rotation(
          crop(2026, "canola", ", resistance: { source: first }"),
          under("canola", `${code}: has no clubroot rating`),
        ),
      rule,
    );
  });

  it("compares the find with the day of seeding, else with 1 January", () => {
    const seeded = crop(2026, "canola", ", seeded: 2026-05-11");
    check(found("2026-05-11") + rotation(seeded), rule);
    check(found("2026-05-10") + rotation(seeded, under("canola", `${code}: on 10 May, before it was seeded`)), rule);
    check(found("2026-01-01") + rotation(crop(2026, "canola")), rule);
    check(found("2025-12-31") + rotation(crop(2026, "canola"), under("canola", `${code}: on 31 Dec 2025;`)), rule);
  });

  it("warns of a plan before it is carried out", () => {
    const april = "#! as-of: 2026-04-20\n#! today: 2026-10-31\n";
    const seeded = crop(2026, "canola", ", resistance: { rating: S }, seeded: 2026-05-11");
    check(
      april + found("2026-03-01") + rotation(seeded, under("canola", `${code}: on 1 Mar; choose a resistant variety`)),
      rule,
    );
    check(found("2026-08-20") + rotation(crop(2028, "canola"), under("canola", `${code}: in 2028`)), rule);
  });

  it("does not know of a find later than the as-of day, nor of other years", () => {
    check(`#! as-of: 2026-05-01\n#! today: 2026-10-31\n${found("2026-05-02")}${rotation(crop(2027, "canola"))}`, rule);
    check(found("2020-08-01") + rotation(crop(2025, "canola")), rule);
    check(`#! all-seasons\n${found("2020-08-01")}${rotation(crop(2025, "canola"), under("canola", code))}`, rule);
  });
});

describe("rotation/same-resistance", () => {
  const rule = only("rotation/same-resistance");
  const relying = (year: number, source: string): string =>
    crop(year, "canola", `, resistance: { rating: R, source: "${source}" }`);
  const mark = under("canola", "warning rotation/same-resistance");

  it("compares with the last host crop, however long ago, and with no other", () => {
    check(found("2020-08-01") + rotation(relying(2015, "first"), relying(2026, "first"), mark), rule);
    check(
      found("2020-08-01") + rotation(relying(2020, "first"), relying(2023, "second"), relying(2026, "first")),
      rule,
    );
    check(found("2020-08-01") + rotation(relying(2020, "first"), crop(2023, "canola"), relying(2026, "first")), rule);
    check(
      found("2020-08-01") +
        rotation(relying(2020, "first"), crop(2023, "barley", ", volunteers: present"), relying(2026, "first"), mark),
      rule,
    );
  });

  it("does not take capitals and spaces for another source, nor nothing for a source", () => {
    check(found("2020-08-01") + rotation(relying(2023, "First "), relying(2026, "first"), mark), rule);
    check(found("2020-08-01") + rotation(relying(2023, " "), relying(2026, "")), rule);
  });

  it("looks at planned years, and at past ones only when all are asked for", () => {
    const past = [relying(2020, "first"), relying(2023, "first")];
    check(found("2020-08-01") + rotation(...past), rule);
    check(`#! all-seasons\n${found("2020-08-01")}${rotation(...past, mark)}`, rule);
    check(found("2020-08-01") + rotation(...past, relying(2028, "first"), mark), rule);
  });
});

describe("rotation/volunteers", () => {
  const rule = only("rotation/volunteers");
  const present = ", volunteers: present";
  const mark = "#         ^^^^ warning rotation/volunteers";

  it("speaks of the season, of planned years, and of past ones when all are asked for", () => {
    const crops = (past: string): string =>
      rotation(
        crop(2025, "barley", present),
        past,
        crop(2026, "oats", present),
        mark,
        crop(2027, "peas", present),
        mark,
      );
    check(crops(""), rule);
    check(`#! all-seasons\n${crops(`${mark}: begin the break anew from that year`)}`, rule);
  });

  it("is silent in a year that has a host crop anyway", () => {
    check(rotation(crop(2026, "barley", present), crop(2026, "canola")), rule);
  });
});

describe("rotation/missing-year", () => {
  const rule = only("rotation/missing-year");
  const missing = (name: string, message: string): string =>
    under(name, `information rotation/missing-year: ${message}`);

  it("tells each gap once, on the crop that ends it", () => {
    check(
      rotation(
        crop(2024, "oats"),
        crop(2026, "peas"),
        missing("peas", "in 2025, so that year"),
        crop(2030, "oats"),
        missing("oats", "in 2027 to 2029, so those years"),
        crop(2030, "rye"),
      ),
      rule,
    );
  });

  it("is silent on years in a row, on the years before the first, and on gaps that ended before the season", () => {
    check(rotation(crop(2025, "oats"), crop(2026, "peas")), rule);
    check(rotation(crop(2026, "peas")), rule);
    check(rotation(crop(2020, "oats"), crop(2025, "oats"), crop(2026, "peas")), rule);
    check(
      `#! all-seasons\n${rotation(crop(2020, "oats"), crop(2025, "oats"), missing("oats", "in 2021 to 2024"), crop(2026, "peas"))}`,
      rule,
    );
  });
});

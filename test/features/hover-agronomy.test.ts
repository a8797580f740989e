import { strict as assert } from "node:assert";
import { dayNumber, formatDay } from "../../server/src/base/days.ts";
import { AS_OF, firstPart, HOVER_BOOK, hoverAt, shows, visit } from "../support/hovering.ts";

/** Every day of a year at one temperature, but for the first three of June 2026. */
const steady = (year: number, celsius: number): string[] =>
  Array.from({ length: 365 }, (_, i) => formatDay(dayNumber(year, 1, 1) + i))
    .filter((day) => !/^2026-06-0[123]$/.test(day))
    .map((day) => `${day},${celsius},${celsius}`);

const weather = (...rows: string[]): string => `#- yard.weather.csv\n${["date,tmin_c,tmax_c", ...rows].join("\n")}\n`;

const crop = (asOf: string, text: string, more = ""): string =>
  `#! as-of: ${asOf}\n#- a.rotations.yaml\nrotations:\n  - field: east-rise\n    crops:\n      - ${text}\n${more}`;

describe("hover on seeding and swathing, with weather", () => {
  const three = weather(...steady(2024, 10), ...steady(2025, 20), ...steady(2026, 15));

  it("has the sum so far, what is missing, the day forecast with its range, and the stages to come", () => {
    const shown = hoverAt(crop("2026-06-23", "{ year: 2026, crop: canola, seeded: 2026-05$0-15 }", three));
    // By hand: 37 days at 15 °C are 555; the three missing ones and the days to come are 15 in the mean of 2024 and 2025, so
    // 1,500 are reached on the 100th day, 22 August. As in 2025: 615 by 23 June and 45 days more, 7 August. As in 2024: 585
    // and 92 days more, 23 September. BBCH 60 at 625 (the pack's): two days later.
    assert.equal(
      firstPart(shown),
      "Scouting window: 8 Aug to 29 Aug, swathing expected on 22 Aug, by degree days; window opens 8 Aug, in 46 days (swathing day expected)",
    );
    shows(
      shown,
      "- 555 of 1500 degree days above 0 °C from seeding to 23 Jun, by yard.weather.csv; by them at BBCH 14",
      "- 3 days have no weather: 1 Jun to 3 Jun, so the true sum is higher",
      "- Swathing, at 1500, is forecast for 22 Aug; 7 Aug to 23 Sep, were the days to come as in 2024 and 2025",
      "- To come by them: BBCH 60 (first flowers open) 25 Jun, ",
      "over 37 of 40 days, 2026-05-15 to 2026-06-23 = 555 °C·d (method 1)",
      "McMaster & Wilhelm 1997",
      "growth.degree\\_days\\_to\\_swath: ",
      "growth.degree\\_days.14: from memory",
    );
    assert.ok(!shown!.markdown.includes("days\\_seed\\_to\\_swath"));
  });

  it("says on a recorded swathing when it was due, and hangs nothing on it", () => {
    const swathed = "{ year: 2026, crop: canola, seeded: 2026-05-15, swathed: 2026-0$08-25 }";
    const shown = hoverAt(crop("2026-08-30", swathed, three));
    assert.match(firstPart(shown)!, /^Scouting window: 11 Aug to 1 Sep, swathed on 25 Aug;/);
    shows(shown, "- Swathing, at 1500, was due by them on 22 Aug");
    assert.ok(!/To come|counted|relied? on them/.test(shown!.markdown), shown!.markdown);
  });

  it("falls back on days from seeding with too little weather, or none, and says so", () => {
    const few = weather(...steady(2026, 15).filter((_, i) => i % 2 === 0));
    const sparse = hoverAt(crop("2026-06-23", "{ year: 2026, crop: canola, seeded: 2026-05$0-15 }", few));
    shows(
      sparse,
      "fewer than the 60 % it takes to rely on them, so swathing is counted as 105 days from seeding",
      "`swathing = seeded + 105 days = 2026-05-15 + 105 = 2026-08-28`",
    );
    const none = hoverAt(crop("2026-06-23", "{ year: 2026, crop: canola, seeded: 2026-05$0-15 }"));
    shows(none, "- No weather is recorded; a \\*.weather.csv in the book would let");
  });

  it("stays one plain text where the weather file's name is hostile", () => {
    const evil = three.replace("yard.weather.csv", "[x](http://x)<b>.weather.csv");
    const shown = hoverAt(crop("2026-06-23", "{ year: 2026, crop: canola, seeded: 2026-05$0-15 }", evil));
    shows(shown, "by \\[x\\](http\\://x)\\<b\\>.weather.csv");
  });
});

describe("hover on severity", () => {
  const digs =
    "digs: [{ id: d1, place: entrance, plants: 100, ratings: [80, 10, 6, 4] }, { id: d2, place: patch, plants: 10, ratings: [2, 3, 3, 2] }]";

  it("of a dig has the yield at stake as a range over the region's slopes", () => {
    const shown = hoverAt(visit("    digs: [{ id: d1, plants: 100, ratings: [80, 1$00, 6, 4] }]"));
    // 0.26 % of the yield a percent of DSI (Can. J. Plant Pathol. 2022, read) · 11.33; half of an incidence of 20 (extension
    // 2011, read): 2.9 to 10 %.
    shows(
      shown,
      "- Yield at stake where plants are like these: 2.9 to 10 %",
      "`0.26·11.33 % DSI = 2.947 %; 0.62·11.33 % DSI = 7.027 %; 0.5·20 % incidence = 10 %: 2.947 to 10 % of the yield`",
      "rule of thumb, 2011",
    );
    const clean = hoverAt(visit("    digs: [{ id: d1, plants: 20, ratings: [2$00, 0, 0, 0] }]"));
    assert.ok(!clean!.markdown.includes("Yield"));
  });

  it("of a visit's digs is pooled, then place by place, with the caution about patches", () => {
    const shown = hoverAt(visit(`    ${digs.replace("digs", "di$0gs")}`));
    // 28 of 110; (13 + 2·9 + 3·6)/(3·110) = 14.85 %. Patch: 8 of 10, (3 + 2·3 + 3·2)/30 = 50 %; exact 44.4 to 97.5 %
    // (recomputed with jStat's beta quantile).
    shows(
      shown,
      "All 110 plants: DSI 14.8 % (",
      "- Entrance: 100 plants, DSI 11.3 % (",
      "incidence 20 % (12.7 to 29.2 %)",
      "- Patch: 10 plants, DSI 50 % (",
      "incidence 80 % (44.4 to 97.5 %)",
      "all plants together are worse than the field's mean",
    );
    assert.ok(!hoverAt(visit("    di$0gs: []"))?.markdown.includes("DSI"));
    const byHand = hoverAt(visit("    di$0gs: [{ id: d1, plants: 20 }, { ratings: [1, x] }, 3]"));
    assert.ok(!byHand?.markdown.includes("NaN"));
  });
});

describe("hover on a count of spores", () => {
  const sample = (count: string): string =>
    `${AS_OF}#- a.samples.yaml\nsamples:\n  - id: s1\n    result: { reported: 2026-08-18, spores_per_g: ${count} }\n`;

  it("has the region's band, what a lab finds, and how long they last by both models", () => {
    const shown = hoverAt(sample("40$000"));
    // Manitoba's bands and the lab's limit of 500 (read). 4,000 to 500 are three halvings of 3.6 years (Wallenhammar 1996).
    assert.equal(
      firstPart(shown),
      "4000 spores/g; in the region's band above 1000 up to 10,000; symptoms are seen from about 80,000",
    );
    shows(shown, "for 10.8 years, by a single half-life of 3.6 years", "The sources on the decline disagree");
    shows(shown, "Wallenhammar 1996", "Peng et al. 2015");
  });

  it("says that a count below what a lab finds proves little", () => {
    shows(
      hoverAt(sample("$00")),
      "About 500 spores/g or more are found, and labs often report from 1000; a clean result proves little",
    );
    assert.ok(!hoverAt(sample("-$05"))?.markdown.includes("band"));
  });
});

describe("hover on a field's id", () => {
  const clean = HOVER_BOOK.trimStart().replace("[18, 1, 1, 0]", "[20, 0, 0, 0]");

  it("has the freedom with every term, as decision support", () => {
    // A stop of 20 at 2 %, ρ = 0.1, Se = 0.95 would have found it with 19.14 % (Hughes & Madden 1993, recomputed), so
    // (1 − .1)/(1 − .1·.1914) = .9176 (Martin, Cameron & Greiner 2007, from memory).
    const shown = hoverAt(clean.replace("- id: long-meadow", "- id: long$0-meadow"));
    shows(
      shown,
      "\n---\n",
      "Free of clubroot in 2 % of the plants or more with 91 % probability: decision support, not proof",
      "`2026: π = 0.1 (introduction 0), P(free) = (1 − π)/(1 − π·Se) = (1 − 0.1)/(1 − 0.1·0.1914) = 0.9176`",
      "- 2026: 20 clean plants at 1 stop would have found it with 19.14 %, free with 91 %",
      "more plants, all clean, would raise it to 95 %",
      "freedom.prior\\_infested: common practice, no source",
    );
    const infested = clean.replace("- id: long-meadow", "- id: long$0-meadow\n    clubroot: { found_on: 2024-09-01 }");
    assert.ok(!hoverAt(infested)?.markdown.includes("Free with"));
  });
});

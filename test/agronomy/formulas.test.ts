// The formulas as they are shown: the numbers in them are those put in and got out, and each names its source.
import { strict as assert } from "node:assert";
import { dayNumber } from "../../server/src/base/days.ts";
import { numberText, percentText } from "../../server/src/agronomy/calculated.ts";
import { clusteredDetection, riskWeightedDetection } from "../../server/src/agronomy/clustering.ts";
import { degreeDayRecord, degreeDaySum } from "../../server/src/agronomy/degree-days.ts";
import { freedomChain, morePlantsForFreedom, probabilityOfIntroduction } from "../../server/src/agronomy/freedom.ts";
import { freedomFormula, introductionFormula, morePlantsFormula } from "../../server/src/agronomy/freedom-formula.ts";
import { proportionIntervals } from "../../server/src/agronomy/interval.ts";
import { mixFor, powderFor, strengthFromVolumes } from "../../server/src/agronomy/mixing.ts";
import { mixFormula, powderFormula, strengthFormula } from "../../server/src/agronomy/mixing-formula.ts";
import { detectableIncidence, plantsNeeded, probabilityOfDetection } from "../../server/src/agronomy/plants.ts";
import {
  clusteredDetectionFormula,
  detectableIncidenceFormula,
  detectionFormula,
  plantsNeededFormula,
  riskWeightedFormula,
} from "../../server/src/agronomy/plants-formula.ts";
import { incidenceFromPools } from "../../server/src/agronomy/pools.ts";
import { severity, yieldLossRange } from "../../server/src/agronomy/severity.ts";
import { intervalFormula, severityFormula, yieldLossFormula } from "../../server/src/agronomy/severity-formula.ts";
import { sporesAfter, yearsUntilLevel } from "../../server/src/agronomy/spores.ts";
import { poolFormula, sporesFormula, yearsUntilLevelFormula } from "../../server/src/agronomy/spores-formula.ts";
import { forecastDay } from "../../server/src/agronomy/timing.ts";
import { degreeDayFormula, forecastFormula } from "../../server/src/agronomy/timing-formula.ts";
import { valueOf } from "./value-of.ts";

describe("formulas as shown", () => {
  it("plants", () => {
    const endless = { incidence: 0.02, sensitivity: 0.9 };
    assert.deepEqual(plantsNeededFormula(endless, 0.95, valueOf(plantsNeeded(endless, 0.95))), {
      formula: "n = ln(1 − C) / ln(1 − p·Se), rounded up = ln(1 − 0.95) / ln(1 − 0.02·0.9) → 165 plants",
      sources: [
        "ISPM 31, Methodologies for sampling of consignments (FAO 2008), sampling with replacement",
        "sensitivity as in epiR, epi.ssdetect",
      ],
    });
    const finite = { ...endless, population: 2000 };
    const needed = plantsNeededFormula(finite, 0.95, valueOf(plantsNeeded(finite, 0.95)));
    assert.equal(
      needed.formula,
      "smallest n with Σ P(y of d infected among n of N)·(1 − Se)^y ≤ 1 − C; " +
        "N = 2000, d = 2000·0.02, rounded down = 40, Se = 0.9, C = 0.95 → 159 plants",
    );
    assert.equal(needed.sources.length, 2);
    const perfect = { ...finite, sensitivity: 1 };
    const exact = plantsNeededFormula(perfect, 0.95, valueOf(plantsNeeded(perfect, 0.95)));
    assert.match(exact.formula, /C\(N−d, n\)\/C\(N, n\) ≤ 1 − C; .* → 143 plants$/);
    assert.equal(exact.sources.length, 1);
  });

  it("detection, and the other way round", () => {
    const looking = { incidence: 0.05, sensitivity: 0.9 };
    const found = valueOf(probabilityOfDetection(looking, 50));
    assert.equal(detectionFormula(looking, 50, found).formula, "1 − (1 − p·Se)^n = 1 − (1 − 0.05·0.9)^50 = 0.9");
    const finite = { ...looking, population: 400 };
    assert.match(
      detectionFormula(finite, 50, valueOf(probabilityOfDetection(finite, 50))).formula,
      /rounded down = 20, Se = 0\.9, n = 50 = 0\.91/,
    );
    const incidence = valueOf(detectableIncidence(50, 0.95, 0.9));
    assert.match(
      detectableIncidenceFormula(50, 0.95, 0.9, undefined, incidence).formula,
      /\^\(1\/50\)\) \/ 0\.9 = 6\.462 %/,
    );
    const inField = valueOf(detectableIncidence(50, 0.95, 0.9, 2000));
    assert.match(detectableIncidenceFormula(50, 0.95, 0.9, 2000, inField).formula, /N = 2000, .* → 6\.4 %$/);
  });

  it("clustered and risk-weighted detection", () => {
    const disease = { incidence: 0.02, correlation: 0.1, sensitivity: 1 };
    const stops = new Array<number>(10).fill(10);
    const clustered = clusteredDetectionFormula(disease, stops, valueOf(clusteredDetection(disease, stops)));
    assert.match(
      clustered.formula,
      /p = 0\.02, ρ = 0\.1 \(α = 0\.18, β = 8\.82\); Se = 1, 100 plants at 10 stops = 0\.7557/,
    );
    const strata = [
      { relativeRisk: 5, shareOfField: 0.1, plants: 5 },
      { relativeRisk: 1, shareOfField: 0.9, plants: 5 },
    ];
    const weighted = riskWeightedFormula(0.1, strata, 0.9, valueOf(riskWeightedDetection(0.1, strata, 0.9)));
    assert.match(
      weighted.formula,
      /AR = 3\.571, 0\.7143: 1 − \(1 − 0\.3571·0\.9\)\^5·\(1 − 0\.07143·0\.9\)\^5 = 0\.89/,
    );
  });

  it("severity, intervals, yield loss", () => {
    const ratings = [80, 10, 6, 4];
    const found = valueOf(severity(ratings));
    assert.equal(
      severityFormula(ratings, found).formula,
      "incidence = 20/100·100 = 20 %; DSI = (0·80 + 1·10 + 2·6 + 3·4)/(3·100)·100 = 11.33 %",
    );
    assert.equal(
      intervalFormula(81, 263, 0.95, valueOf(proportionIntervals(81, 263, 0.95))).formula,
      "81/263 = 30.8 %; 95 % interval: exact 25.27 % to 36.76 %, Wilson 25.53 % to 36.62 %",
    );
    const slopes = [
      { lossPerPercent: 0.5, of: "incidence", source: "one" },
      { lossPerPercent: 0.26, of: "dsi", source: "two" },
    ] as const;
    const loss = yieldLossFormula(found, valueOf(yieldLossRange(found, slopes)));
    assert.deepEqual(loss.sources, ["one", "two"]);
    assert.match(
      loss.formula,
      /^0\.5·20 % incidence = 10 %; 0\.26·11\.33 % DSI = 2\.947 %: 2\.947 to 10 % of the yield$/,
    );
  });

  it("mixes", () => {
    assert.equal(
      mixFormula(5.25, 1, 10, valueOf(mixFor(5.25, 1, 10))).formula,
      "stock = wanted/stock·amount = 1 %/5.25 %·10,000 mL = 1904.8 mL, with 8095.2 mL of water " +
        "(4.25 parts of water to 1 of stock)",
    );
    assert.match(
      strengthFormula(5.25, 2, 8.5, valueOf(strengthFromVolumes(5.25, 2, 8.5))).formula,
      /2\/\(2 \+ 8\.5\) = 1 %$/,
    );
    assert.match(powderFormula(35, 0.5, 10, valueOf(powderFor(35, 0.5, 10))).formula, /14\.29 g\/L, 142\.9 g in 10 L$/);
  });

  it("degree days and the forecast, with what is missing", () => {
    const seeded = dayNumber(2026, 5, 11);
    const rule = { baseC: 5, method: 2, leastShareRecorded: 0.6 } as const;
    const rows = [0, 1, 2, 8, 9].map((i) => ({ day: seeded + i, tminC: 10, tmaxC: 20 }));
    const weather = valueOf(degreeDayRecord(rows, seeded + 9, rule));
    assert.equal(
      degreeDayFormula(seeded, seeded + 9, rule, valueOf(degreeDaySum(weather, seeded, seeded + 9))).formula,
      "Σ (max(Tmax, 5) + max(Tmin, 5))/2 − 5 over 5 of 10 days, 2026-05-11 to 2026-05-20 = 50 °C·d (method 2); " +
        "5 days missing, so the true sum is higher; only 50 % of the days are recorded, less than the 60 % it takes " +
        "to rely on it",
    );
    assert.equal(
      forecastFormula(90, seeded, rule, valueOf(forecastDay({ seeded, weather }, 90))).formula,
      "first day with 90 °C·d above 5 °C since 2026-05-11: 2026-05-19 (4 days recorded, 0 from the mean of other " +
        "years, 5 on a straight line); only 44.4 % of the days are recorded, less than the 60 % it takes to rely on it",
    );
  });

  it("spores and pools", () => {
    const model = { kind: "half-life", halfLifeYears: 3.6 } as const;
    assert.deepEqual(sporesFormula(1e6, model, 4, valueOf(sporesAfter(1e6, model, 4)), ["the pack's"]), {
      formula: "1,000,000·0.5^(4/3.6) = 462,937.4 spores/g after 4 years without a host",
      sources: ["the pack's"],
    });
    const two = { kind: "fast then slow", fastShare: 0.95, fastHalfLifeYears: 0.4, slowHalfLifeYears: 3.6 } as const;
    assert.match(
      yearsUntilLevelFormula(1e6, 500, two, valueOf(yearsUntilLevel(1e6, 500, two)), []).formula,
      /^1,000,000·\(0\.95·0\.5\^\(t\/0\.4\) \+ 0\.05·0\.5\^\(t\/3\.6\)\) = 500 at t = 23\.92 years/,
    );
    assert.match(
      poolFormula(2, 10, 5, 0.95, valueOf(incidenceFromPools(2, 10, 5, 0.95))).formula,
      /1 − \(1 − 2\/10\)\^\(1\/5\) = 0\.04365; .*2\/\(10 \+ 0\.4\)\)\^\(1\/5\) = 0\.04182; 95 % interval/,
    );
  });

  it("freedom, season by season", () => {
    const chain = valueOf(
      freedomChain(0.5, [
        { season: 2025, introduction: 0, detection: 0.8 },
        { season: 2026, introduction: 0.01, detection: 0.8 },
      ]),
    );
    assert.deepEqual(freedomFormula(0.5, chain).formula.split("\n"), [
      "before the first season: π = 0.5",
      "2025: π = 0.5 (introduction 0), P(free) = (1 − π)/(1 − π·Se) = (1 − 0.5)/(1 − 0.5·0.8) = 0.8333",
      "2026: π = 0.175 (introduction 0.01), P(free) = (1 − π)/(1 − π·Se) = (1 − 0.175)/(1 − 0.175·0.8) = 0.9593",
      "probability of being free: 95.93 %. This supports a decision; it does not make one.",
    ]);
    const brought = valueOf(probabilityOfIntroduction([{ shareOfSoilLeft: 1 }, { shareOfSoilLeft: 0.1 }], 0.2));
    assert.equal(
      introductionFormula(0.2, brought, "from memory").formula,
      "1 − Π(1 − share of soil left·p) = 1 − (1 − 1·0.2)·(1 − 0.1·0.2) = 0.216",
    );
    const none = valueOf(probabilityOfIntroduction([], 0.2));
    assert.equal(introductionFormula(0.2, none, "from memory").formula, "1 − Π(1 − share of soil left·p) = 1 − 1 = 0");
    const more = valueOf(morePlantsForFreedom(0.5, 0.95, 50, { incidence: 0.02, sensitivity: 0.95 }));
    assert.match(morePlantsFormula(0.5, 0.95, more).formula, /0\.9474 → 104 more plants, all clean/);
  });
});

describe("numbers for people", () => {
  it("keeps few digits, groups large whole numbers, and spells out what is no number", () => {
    const shown = [0, 5, 9999, 10_000, -1_234_567, 0.1 + 0.2, 1234.56, 1e-9, 2e20].map((value) => numberText(value));
    assert.deepEqual(shown, ["0", "5", "9999", "10,000", "-1,234,567", "0.3", "1234.6", "1.000e-9", "2.000e+20"]);
    assert.equal(numberText(NaN), "nothing that is a number");
    assert.equal(numberText(-Infinity), "endlessly below 0");
    assert.deepEqual([percentText(0.02), percentText(0.07), percentText(1 / 3)], ["2 %", "7 %", "33.33 %"]);
  });
});

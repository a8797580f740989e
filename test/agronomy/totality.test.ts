// Every function of the room, thrown at with numbers that are none, too large, too small, negative or in between: it
// gives finite numbers or one plain sentence, and never throws.
import { strict as assert } from "node:assert";
import fc from "fast-check";
import type { Calculated } from "../../server/src/agronomy/calculated.ts";
import * as clustering from "../../server/src/agronomy/clustering.ts";
import * as degreeDays from "../../server/src/agronomy/degree-days.ts";
import * as freedom from "../../server/src/agronomy/freedom.ts";
import * as interval from "../../server/src/agronomy/interval.ts";
import * as mixing from "../../server/src/agronomy/mixing.ts";
import * as plants from "../../server/src/agronomy/plants.ts";
import * as pools from "../../server/src/agronomy/pools.ts";
import * as scoutingWindow from "../../server/src/agronomy/scouting-window.ts";
import * as severity from "../../server/src/agronomy/severity.ts";
import * as spores from "../../server/src/agronomy/spores.ts";
import * as timing from "../../server/src/agronomy/timing.ts";

const EDGES = [NaN, Infinity, -Infinity, 0, -0, 1, -1, 2, 0.5, 3, 1e-12, 5e-324, 1 - 2 ** -53, 1 + 2 ** -52];
const LARGE = [1e5, 1e9, 1e9 + 1, 20_000.5, 2 ** 53, 1e308, -1e308];
const hostile = fc.oneof(
  fc.constantFrom(...EDGES, ...LARGE),
  fc.double({ min: 0, max: 1, noNaN: true }),
  fc.integer({ min: 0, max: 3000 }),
  fc.double(),
);

/** The usual figures, about one in six of them in for another; at times some are missing from the end. */
function disturbed(usual: readonly number[], length: number): fc.Arbitrary<number[]> {
  const swaps = fc.array(
    fc.oneof({ weight: 5, arbitrary: fc.constant(undefined) }, { weight: 1, arbitrary: hostile }),
    { minLength: length, maxLength: 6 },
  );
  return swaps.map((list) => list.map((swap, i) => swap ?? usual[i] ?? 0));
}

type Call = (n: readonly number[], list: readonly number[]) => Calculated<unknown>;
const a = (n: readonly number[], i: number): number => n[i] ?? 0;
const maybe = (value: number): number | undefined => (value === 0 ? undefined : value);
const looking = (n: readonly number[]) => ({ incidence: n[0], sensitivity: n[1], population: maybe(n[2]) });
const disease = (n: readonly number[]) => ({ incidence: n[0], correlation: n[1], sensitivity: n[2] });
const decline = (n: readonly number[]): spores.SporeDecline =>
  a(n, 5) > 0.5
    ? { kind: "half-life", halfLifeYears: n[0] }
    : { kind: "fast then slow", fastShare: n[0], fastHalfLifeYears: n[1], slowHalfLifeYears: n[2] };
const rule = (n: readonly number[]) =>
  ({ baseC: n[0], method: n[1], leastShareRecorded: n[2] }) as degreeDays.DegreeDayRule;
const record = (n: readonly number[], list: readonly number[]) =>
  degreeDays.degreeDayRecord(
    list.map((celsius, i) => ({ day: i === 3 ? celsius : 20_550 + i, tminC: a(n, i), tmaxC: celsius })),
    n[3],
    rule([a(n, 0), 1, 0.5]),
  );

const CALLS: Record<string, Call> = {
  plantsNeeded: (n) => plants.plantsNeeded(looking(n), n[3]),
  probabilityOfDetection: (n) => plants.probabilityOfDetection(looking(n), n[3]),
  detectableIncidence: (n) => plants.detectableIncidence(n[0], n[1], n[2], maybe(n[3])),
  betaParameters: (n) => clustering.betaParameters(n[0], n[1]),
  varianceInflation: (n) => clustering.varianceInflation(n[0], n[1]),
  clusteredDetection: (n, list) => clustering.clusteredDetection(disease(n), list),
  stopsNeeded: (n) => clustering.stopsNeeded(disease(n), n[3], n[4]),
  detectableIncidenceClustered: (n, list) => clustering.detectableIncidenceClustered(list, n[0], n[1], n[2]),
  riskWeightedDetection: (n, list) =>
    clustering.riskWeightedDetection(
      n[0],
      list.map((plants, i) => ({ relativeRisk: a(n, i), shareOfField: 1 / list.length, plants })),
      n[1],
    ),
  proportionIntervals: (n) => interval.proportionIntervals(n[0], n[1], n[2]),
  severity: (_, list) => severity.severity(list),
  severityIntervals: (n, list) => severity.severityIntervals(list, n[0]),
  severityByPlace: (n, list) =>
    severity.severityByPlace([
      { place: "patch", ratings: list },
      { place: "__proto__", ratings: n.slice(0, list.length) },
    ]),
  yieldLossRange: (n, list) =>
    severity.yieldLossRange(
      { incidencePercent: n[0], dsiPercent: n[1] },
      list.map((lossPerPercent) => ({ lossPerPercent, of: "dsi", source: "invented" })),
    ),
  resistanceLabel: (n) =>
    severity.resistanceLabel(n[0], n[1], { resistantBelow: n[2], susceptibleFrom: n[3], checkIndexAbove: n[4] }),
  strengthFromVolumes: (n) => mixing.strengthFromVolumes(n[0], n[1], n[2]),
  mixFor: (n) => mixing.mixFor(n[0], n[1], n[2]),
  powderFor: (n) => mixing.powderFor(n[0], n[1], n[2]),
  shareOfSporesLeft: (n) => spores.shareOfSporesLeft(decline(n), n[3]),
  sporesAfter: (n) => spores.sporesAfter(n[4], decline(n), n[3]),
  yearsUntilLevel: (n) => spores.yearsUntilLevel(n[3], n[4], decline(n)),
  sporeBand: (n, list) =>
    spores.sporeBand(
      n[0],
      list.map((upToPerG) => ({ upToPerG, name: "band" })),
    ),
  sporesByYear: (n) => spores.sporesByYear(n[3], decline(n), n[4], n[5]),
  chancePoolIsPositive: (n) => pools.chancePoolIsPositive(n[0], n[1]),
  incidenceFromPools: (n) => pools.incidenceFromPools(n[0], n[1], n[2], n[3]),
  dilutionInPool: (n) => pools.dilutionInPool(n[0], n[1], n[2], n[3]),
  probabilityOfIntroduction: (n, list) =>
    freedom.probabilityOfIntroduction(
      list.map((shareOfSoilLeft) => ({ shareOfSoilLeft })),
      n[0],
    ),
  freedomChain: (n, list) =>
    freedom.freedomChain(
      n[0],
      list.map((detection, i) => ({ season: 2026, introduction: a(n, i + 1), detection })),
    ),
  morePlantsForFreedom: (n) => freedom.morePlantsForFreedom(n[3], n[4], n[5], looking(n)),
  degreeDaysOfDay: (n) => degreeDays.degreeDaysOfDay(n[0], n[1], n[2], n[3] as 1),
  degreeDaySum: (n, list) => {
    const made = record(n, list);
    return made.ok ? degreeDays.degreeDaySum(made.value, n[4], n[5]) : made;
  },
  forecastDay: (n, list) => {
    const made = record(n, list);
    return made.ok ? timing.forecastDay({ seeded: n[4], weather: made.value }, n[5]) : made;
  },
  stageForecast: (n, list) => {
    const made = record(n, list);
    const table = Object.fromEntries(list.map((sum, i) => [String(10 + i), sum]));
    return made.ok ? timing.stageForecast({ seeded: n[4], weather: made.value }, table) : made;
  },
  stageReached: (n, list) => timing.stageReached(n[0], Object.fromEntries(list.map((sum, i) => [String(i * 30), sum]))),
  swathingDay: (n) =>
    scoutingWindow.swathingDay({
      recorded: maybe(n[0]),
      forecast: maybe(n[1]),
      seeded: maybe(n[2]),
      daysSeedToSwath: maybe(n[3]),
    }),
  scoutingWindow: (n) => scoutingWindow.scoutingWindow(n[0], n[1], n[2]),
  windowStanding: (n) => scoutingWindow.windowStanding({ opens: n[0], closes: n[1] }, n[2]),
};

/** Figures with which each function has a value; the test puts others in their places. */
const USUAL: Record<keyof typeof CALLS, readonly number[]> = {
  plantsNeeded: [0.02, 0.9, 2000, 0.95],
  probabilityOfDetection: [0.02, 0.9, 2000, 100],
  detectableIncidence: [100, 0.95, 0.9, 2000],
  betaParameters: [0.05, 0.1],
  varianceInflation: [10, 0.1],
  clusteredDetection: [0.02, 0.1, 0.9],
  stopsNeeded: [0.02, 0.1, 0.9, 10, 0.95],
  detectableIncidenceClustered: [0.95, 0.1, 0.9],
  riskWeightedDetection: [0.02, 0.9, 1, 5, 3],
  proportionIntervals: [81, 263, 0.95],
  severity: [],
  severityIntervals: [0.95],
  severityByPlace: [10, 5, 3, 2],
  yieldLossRange: [20, 11],
  resistanceLabel: [20, 80, 30, 70, 60],
  strengthFromVolumes: [5.25, 2, 8.5],
  mixFor: [5.25, 1, 10],
  powderFor: [35, 0.5, 10],
  shareOfSporesLeft: [0.95, 0.4, 3.6, 4],
  sporesAfter: [0.95, 0.4, 3.6, 4, 1e6],
  yearsUntilLevel: [0.95, 0.4, 3.6, 1e6, 500],
  sporeBand: [2000],
  sporesByYear: [0.95, 0.4, 3.6, 1e6, 10, 500],
  chancePoolIsPositive: [0.02, 5],
  incidenceFromPools: [2, 10, 5, 0.95],
  dilutionInPool: [4000, 1, 10, 500],
  probabilityOfIntroduction: [0.2],
  freedomChain: [0.5, 0.01, 0.02, 0.03, 0.04],
  morePlantsForFreedom: [0.02, 0.9, 2000, 0.5, 0.95, 50],
  degreeDaysOfDay: [20, 10, 5, 1],
  degreeDaySum: [5, 1, 0.6, 20_600, 20_550, 20_560],
  forecastDay: [5, 1, 0.6, 20_600, 20_550, 12],
  stageForecast: [5, 1, 0.6, 20_600, 20_550],
  stageReached: [300],
  swathingDay: [0, 0, 20_550, 105],
  scoutingWindow: [20_600, 14, 7],
  windowStanding: [20_550, 20_571, 20_560],
};
const USUAL_COUNTS = [18, 20, 22, 24];
const USUAL_SHARES = [0.5, 0.1, 0.9, 0.05];

/** What the functions put into their values by name that is a share from 0 to 1. */
const SHARE = /^(probability|probabilityFree|priorInfested|detectionNeeded|shareKnown|shareRecorded|estimate|burrows)$/;

function checkNumbers(value: unknown, name: string): void {
  if (typeof value === "number") {
    assert.ok(Number.isFinite(value), `${name} is ${value}`);
    if (SHARE.test(name)) assert.ok(value >= 0 && value <= 1, `${name} is ${value}`);
  } else if (value !== null && typeof value === "object") {
    for (const [key, inner] of Object.entries(value)) checkNumbers(inner, key);
  }
}

describe("every calculation is total", () => {
  for (const [name, call] of Object.entries(CALLS)) {
    it(name, () => {
      let [values, errors] = [0, 0];
      const counts = disturbed(USUAL_COUNTS, 0).map((list) => list.slice(0, 4));
      const lists = fc.oneof(
        counts,
        disturbed(USUAL_SHARES, 0).map((list) => list.slice(0, 4)),
      );
      fc.assert(
        fc.property(disturbed(USUAL[name], 6), lists, (n, list) => {
          const result = call(n, list);
          if (result.ok) {
            values++;
            // A band's or a slope's own figures come back as they were given.
            if (name !== "sporeBand") checkNumbers(result.value, "value");
            return;
          }
          errors++;
          assert.match(result.error, /^[A-Z0-9].*\.$/);
          assert.doesNotMatch(result.error, /NaN|undefined|Infinity|null/);
        }),
        { numRuns: 1000 },
      );
      assert.ok(errors > 0 && values > 20, `${values} values, ${errors} errors`);
    });
  }
});

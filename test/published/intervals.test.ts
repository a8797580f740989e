// Intervals for a proportion, 95 %: Newcombe 1998, Stat. Med. 17:857 (Wilson read second-hand, exact from memory, both
// recomputed); the documentation of SciPy's binomtest (read); RSurveillance (read). Survey counts: see below.
import { strict as assert } from "node:assert";
import { proportionIntervals } from "../../server/src/agronomy/interval.ts";
import { printed, valueOf } from "../agronomy/value-of.ts";

type Row = [count: number, total: number, exact: [string, string], wilson: [string, string]];

const TABLE: Row[] = [
  [81, 263, [".2527", ".3676"], [".2553", ".3662"]], // Newcombe 1998
  [7, 50, [".058192", ".267396"], [".0695", ".2619"]], // exact: SciPy (read); Wilson: recomputed
  [25, 200, [".082552", ".178974"], [".086120", ".178014"]], // RSurveillance (read)
  [0, 20, ["0", ".1684"], ["0", ".1611"]], // Newcombe 1998, from memory, recomputed
  [1, 29, [".0009", ".1776"], [".0061", ".1718"]], // Newcombe 1998, from memory, recomputed
  [0, 100, ["0", ".0362"], ["0", ".0370"]], // recomputed
];

// Positive of surveyed fields, counts read, exact interval in percent recomputed.
const SURVEYS: [survey: string, count: number, total: number, lower: string, upper: string][] = [
  ["2005 Edmonton area", 41, 112, "27.7", "46.2"],
  ["2007 Parkland County", 22, 105, "13.6", "30.0"],
  ["2010 Alberta", 66, 341, "15.3", "24.0"], // 23.954
  ["2018 Alberta", 79, 543, "11.7", "17.8"],
  ["2017 Cavalier, North Dakota", 6, 59, "3.8", "20.8"],
  ["Sweden", 148, 190, "71.3", "83.6"],
];

describe("published intervals", () => {
  for (const [count, total, exact, wilson] of TABLE) {
    it(`${count}/${total}`, () => {
      const found = valueOf(proportionIntervals(count, total, 0.95));
      printed(found.clopperPearson.lower, exact[0]);
      printed(found.clopperPearson.upper, exact[1]);
      printed(found.wilson.lower, wilson[0]);
      printed(found.wilson.upper, wilson[1]);
    });
  }

  it("none found: the upper end is 1 − (α/2)^(1/n) (read)", () => {
    for (const total of [1, 7, 20, 100, 12345]) {
      const { clopperPearson } = valueOf(proportionIntervals(0, total, 0.95));
      assert.ok(Math.abs(clopperPearson.upper - (1 - 0.025 ** (1 / total))) < 1e-14);
    }
  });

  it("Wilson is Wilson, and not Agresti and Coull's, which lies within 0.0005 of it here", () => {
    // Agresti & Coull 1998: the plain interval around (x + z²/2)/(n + z²); recomputed.
    const z2 = 1.959963984540054 ** 2;
    const [count, total] = [7, 50];
    const middle = (count + z2 / 2) / (total + z2);
    const lower = middle - Math.sqrt((z2 * middle * (1 - middle)) / (total + z2));
    assert.ok(Math.abs(valueOf(proportionIntervals(count, total, 0.95)).wilson.lower - lower) > 1e-4);
  });

  for (const [survey, count, total, lower, upper] of SURVEYS) {
    it(`survey: ${survey}, ${count}/${total}`, () => {
      const { clopperPearson } = valueOf(proportionIntervals(count, total, 0.95));
      printed(clopperPearson.lower * 100, lower);
      printed(clopperPearson.upper * 100, upper);
    });
  }
});

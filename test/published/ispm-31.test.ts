// ISPM 31, Methodologies for sampling of consignments (FAO 2008).
// Table 1 (95 %, hypergeometric, d rounded down) and table 3 (95 %, binomial, by the efficacy of detection).
// Status of every cell: from memory, and recomputed from the formula exactly.
import { strict as assert } from "node:assert";
import { plantsNeeded } from "../../server/src/agronomy/plants.ts";
import { errorOf, valueOf } from "../agronomy/value-of.ts";

const INCIDENCES = [0.05, 0.02, 0.01, 0.005, 0.001];

// Undefined: fewer than one plant would be infected.
const TABLE_1: [population: number, ...plants: (number | undefined)[]][] = [
  [50, 39],
  [100, 45, 78, 95, undefined, undefined],
  [200, 51, 105, 155, 190, undefined],
  [400, 55, 124, 211, 311, undefined],
  [500, 56, 129, 225, 388, undefined],
  [1000, 57, 138, 258, 450, 950],
  [2000, 58, 143, 277, 517, 1553],
  [5000, 59, 147, 290, 564, 2253],
  [10000, 59, 148, 294, 581, 2588],
  [20000, 59, 148, 296, 589, 2781],
];

const TABLE_3: [efficacy: number, ...plants: number[]][] = [
  [1, 59, 149, 299, 598, 2995],
  [0.95, 62, 157, 314, 630, 3152],
  [0.9, 66, 165, 332, 665, 3328],
  [0.8, 74, 186, 373, 748, 3744],
  [0.5, 119, 299, 598, 1197, 5990],
];

describe("ISPM 31", () => {
  for (const [population, ...row] of TABLE_1) {
    it(`table 1, ${population} plants`, () => {
      row.forEach((expected, i) => {
        const needed = plantsNeeded({ incidence: INCIDENCES[i], sensitivity: 1, population }, 0.95);
        if (expected === undefined) assert.match(errorOf(needed), /is less than one plant/);
        else {
          assert.equal(valueOf(needed).plants, expected, `at ${INCIDENCES[i]}`);
          assert.equal(valueOf(needed).method, "hypergeometric");
        }
      });
    });
  }

  it("table 1, 50 plants at 5 %: 31 only if 2.5 infected plants are wrongly rounded up to 3", () => {
    // Recomputed: with three infected plants (6 %) 31 are enough.
    assert.equal(valueOf(plantsNeeded({ incidence: 0.06, sensitivity: 1, population: 50 }, 0.95)).plants, 31);
    assert.equal(valueOf(plantsNeeded({ incidence: 0.05, sensitivity: 1, population: 50 }, 0.95)).infectedPlants, 2);
  });

  for (const [sensitivity, ...row] of TABLE_3) {
    it(`table 3, efficacy ${sensitivity * 100} %`, () => {
      const found = INCIDENCES.map((incidence) => valueOf(plantsNeeded({ incidence, sensitivity }, 0.95)).plants);
      assert.deepEqual(found, row);
    });
  }

  it("table 3, 99 % confidence, efficacy 100 %", () => {
    const found = INCIDENCES.slice(0, 4).map(
      (incidence) => valueOf(plantsNeeded({ incidence, sensitivity: 1 }, 0.99)).plants,
    );
    assert.deepEqual(found, [90, 228, 459, 919]);
  });

  it("Cannon & Roe 1982 comes close to table 1 and is not it", () => {
    // n = ceil((1 − (1 − C)^(1/d))·(N − (d − 1)/2)); from memory. The exact sum is what is used.
    for (const [population, ...row] of TABLE_1) {
      row.forEach((expected, i) => {
        if (expected === undefined) return;
        const d = Math.floor(population * INCIDENCES[i] + 1e-9);
        const approximation = Math.ceil((1 - 0.05 ** (1 / d)) * (population - (d - 1) / 2));
        assert.ok(Math.abs(approximation - expected) <= 1, `${population} at ${INCIDENCES[i]}: ${approximation}`);
      });
    }
  });
});

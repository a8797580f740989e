import { strict as assert } from "node:assert";
import binomialCdf from "@stdlib/stats-base-dists-binomial-cdf";
import hypergeometricCdf from "@stdlib/stats-base-dists-hypergeometric-cdf";
import fc from "fast-check";
import { missInFiniteField } from "../../server/src/agronomy/dug-plants.ts";
import {
  detectableIncidence,
  infectedPlants,
  plantsNeeded,
  probabilityOfDetection,
} from "../../server/src/agronomy/plants.ts";
import { errorOf, near, valueOf } from "./value-of.ts";

const share = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const field = fc
  .tuple(fc.integer({ min: 1, max: 3000 }), share(0, 1), share(0, 1))
  .map(([population, dug, infected]) => ({
    population,
    plants: Math.round(dug * population),
    infected: Math.round(infected * population),
  }));

/** n·ln n − … of n!, summed exactly enough for counts of this size. */
const logFactorials = [0];
for (let i = 1; i <= 400; i++) logFactorials.push(logFactorials[i - 1] + Math.log(i));
const logChoose = (n: number, k: number): number => logFactorials[n] - logFactorials[k] - logFactorials[n - k];

describe("plants to dig", () => {
  it("a perfect look agrees with the hypergeometric distribution to 1e-9", () => {
    fc.assert(
      fc.property(field, ({ population, plants, infected }) => {
        near(
          missInFiniteField(plants, infected, population, 1),
          hypergeometricCdf(0, population, infected, plants),
          1e-9,
        );
      }),
    );
  });

  it("an imperfect look agrees with the sum over the infected dug, term by term, to 1e-9", () => {
    const check = (population: number, plants: number, infected: number, sensitivity: number): void => {
      let sum = 0;
      for (let y = Math.max(0, plants - (population - infected)); y <= Math.min(plants, infected); y++) {
        const log =
          logChoose(infected, y) + logChoose(population - infected, plants - y) - logChoose(population, plants);
        sum += Math.exp(log) * (1 - sensitivity) ** y;
      }
      const miss = missInFiniteField(plants, infected, population, sensitivity);
      near(miss, sum, 1e-9);
      if (sum > 1e-75) near(miss / sum, 1, 1e-9); // Small chances keep their digits too.
    };
    fc.assert(
      fc.property(
        field.filter((one) => one.population <= 400),
        share(0, 1),
        ({ population, plants, infected }, sensitivity) => check(population, plants, infected, sensitivity),
      ),
    );
    // The infected dug that are likeliest, and those that are likeliest missed, far apart.
    for (const sensitivity of [0.5, 0.9, 0.93]) check(400, 200, 200, sensitivity);
  });

  it("agrees with the binomial distribution without a population, to 1e-9", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 5000 }), share(0, 1), share(0, 1), (plants, incidence, sensitivity) => {
        const found = valueOf(probabilityOfDetection({ incidence, sensitivity }, plants));
        near(found, 1 - binomialCdf(0, plants, incidence * sensitivity), 1e-9);
      }),
    );
  });

  it("the number needed is enough, and one fewer is not", () => {
    const population = fc.option(fc.integer({ min: 1, max: 50_000 }), { nil: undefined });
    fc.assert(
      fc.property(share(1e-4, 1), share(0.01, 1), share(0, 0.9999), population, (incidence, sensitivity, c, n) => {
        const looking = { incidence, sensitivity, population: n };
        const needed = plantsNeeded(looking, c);
        if (!needed.ok) {
          // Only where not even all plants are enough, or fewer than one is infected.
          const infected = infectedPlants(n ?? Infinity, incidence);
          assert.ok(n !== undefined && (infected === 0 || 1 - missInFiniteField(n, infected, n, sensitivity) < c));
          return;
        }
        const { plants, probability } = needed.value;
        assert.equal(probability, valueOf(probabilityOfDetection(looking, plants)));
        assert.ok(probability >= c - 1e-12);
        if (plants > 0) assert.ok(valueOf(probabilityOfDetection(looking, plants - 1)) < c);
      }),
    );
  });

  it("a finite field never needs more plants than an endless one with as many infected", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 20, max: 20_000 }),
        share(0.05, 0.5),
        share(0.5, 1),
        (population, p, sensitivity) => {
          const incidence = infectedPlants(population, p) / population;
          const finite = plantsNeeded({ incidence, sensitivity, population }, 0.95);
          const endless = valueOf(plantsNeeded({ incidence, sensitivity }, 0.95)).plants;
          if (finite.ok) assert.ok(finite.value.plants <= endless);
        },
      ),
    );
  });

  it("detection rises with plants, incidence and sensitivity", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 2000 }),
        fc.integer({ min: 0, max: 1999 }),
        share(0, 1),
        share(0, 1),
        share(0, 1),
        (population, dug, incidence, sensitivity, more) => {
          const plants = dug % population;
          for (const n of [population, undefined]) {
            const looking = { incidence, sensitivity, population: n };
            const found = valueOf(probabilityOfDetection(looking, plants)) - 1e-12;
            const up = (value: number): number => value + (1 - value) * more;
            assert.ok(valueOf(probabilityOfDetection(looking, plants + 1)) >= found);
            assert.ok(valueOf(probabilityOfDetection({ ...looking, incidence: up(incidence) }, plants)) >= found);
            assert.ok(valueOf(probabilityOfDetection({ ...looking, sensitivity: up(sensitivity) }, plants)) >= found);
          }
        },
      ),
    );
  });

  it("the incidence that a dig would have caught is caught with that confidence, and no lower one is", () => {
    const population = fc.option(fc.integer({ min: 1, max: 5000 }), { nil: undefined });
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 500 }), share(0.5, 0.99), share(0.3, 1), population, (n, c, se, N) => {
        if (N !== undefined && N < n) return;
        const found = detectableIncidence(n, c, se, N);
        const all = valueOf(probabilityOfDetection({ incidence: 1, sensitivity: se, population: N }, n));
        if (!found.ok) return assert.ok(all < c + 1e-12);
        const incidence = found.value;
        const detected = (p: number): number =>
          valueOf(probabilityOfDetection({ incidence: p, sensitivity: se, population: N }, n));
        assert.ok(detected(incidence) >= c - 1e-9);
        if (N === undefined) near(detected(incidence), c, 1e-9);
        else assert.ok(detected(incidence - 1 / N) < c);
      }),
    );
  });

  it("stays exact and quick where plants are counted in hundreds of millions", () => {
    // With the field so large the binomial is the limit.
    near(missInFiniteField(165, 6e6, 3e8, 0.9), (1 - 0.02 * 0.9) ** 165, 1e-6);
    // All dug: every one of the 5·10⁸ infected must slip by.
    near(Math.log(missInFiniteField(1e9, 1e8, 1e9, 1e-7)), 1e8 * Math.log1p(-1e-7), 1e-6);
  });

  it("limits and plain sentences at the edges", () => {
    const looking = { incidence: 0.02, sensitivity: 0.9, population: 2000 };
    assert.equal(valueOf(probabilityOfDetection(looking, 0)), 0);
    assert.equal(valueOf(plantsNeeded(looking, 0)).plants, 0);
    assert.equal(valueOf(plantsNeeded({ incidence: 1, sensitivity: 1 }, 1)).plants, 1);
    assert.equal(valueOf(plantsNeeded({ incidence: 0.02, sensitivity: 1, population: 100 }, 1)).plants, 99);
    assert.equal(infectedPlants(100, 0.29), 29); // 28.999999999999996 in doubles
    assert.match(errorOf(plantsNeeded(looking, 1)), /Even digging all 2000 plants/);
    assert.match(errorOf(plantsNeeded({ incidence: 0.02, sensitivity: 1 }, 1)), /lower confidence/);
    assert.match(errorOf(plantsNeeded({ ...looking, incidence: 0 }, 0.95)), /nothing to find/);
    assert.match(errorOf(plantsNeeded({ ...looking, sensitivity: 0 }, 0.95)), /sensitivity of 0 %/);
    assert.match(errorOf(plantsNeeded({ ...looking, incidence: 2 }, 0.95)), /0 to 100 %, not 200 %/);
    assert.match(errorOf(probabilityOfDetection(looking, 2001)), /2001 plants dug are more than the 2000/);
    assert.match(errorOf(probabilityOfDetection(looking, -1)), /not -1/);
    assert.match(errorOf(detectableIncidence(1, 0.95, 0.9)), /^One plant dug is too few/);
    assert.match(errorOf(detectableIncidence(0, 0.95, 0.9)), /^No plants have been dug/);
  });
});

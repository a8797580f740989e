import { strict as assert } from "node:assert";
import fc from "fast-check";
import jstat from "jstat";
import {
  clusteredDetection,
  detectableIncidenceClustered,
  riskWeightedDetection,
  stopsNeeded,
} from "../../server/src/agronomy/clustering.ts";
import { missAtClusteredStop } from "../../server/src/agronomy/dug-plants.ts";
import { probabilityOfDetection } from "../../server/src/agronomy/plants.ts";
import { errorOf, near, valueOf } from "./value-of.ts";

const share = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const stops = fc.array(fc.integer({ min: 0, max: 60 }), { minLength: 1, maxLength: 12 });

describe("clustering", () => {
  it("none of n agrees with the ratio of beta functions to 1e-9", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 200 }), share(0.001, 0.9), share(0.005, 0.95), (n, p, rho) => {
        const [alpha, beta] = [(p * (1 - rho)) / rho, ((1 - p) * (1 - rho)) / rho];
        const expected = Math.exp(jstat.betaln(alpha, beta + n) - jstat.betaln(alpha, beta));
        near(missAtClusteredStop(n, p, rho, 1), expected, 1e-9);
      }),
    );
  });

  it("with an imperfect look it is the mean over the beta distribution of (1 − share·Se)^n", () => {
    // A parameter pair without poles at 0 and 1, integrated by the midpoint rule.
    const [p, rho, n, sensitivity] = [0.4, 0.1, 12, 0.8];
    const [alpha, beta] = [(p * (1 - rho)) / rho, ((1 - p) * (1 - rho)) / rho];
    const steps = 200_000;
    let mean = 0;
    for (let i = 0; i < steps; i++) {
      const x = (i + 0.5) / steps;
      mean += (jstat.beta.pdf(x, alpha, beta) * (1 - x * sensitivity) ** n) / steps;
    }
    near(missAtClusteredStop(n, p, rho, sensitivity), mean, 1e-9);
  });

  it("without correlation it is the binomial, and near none it is near it", () => {
    fc.assert(
      fc.property(stops, share(0, 1), share(0, 1), (plants, incidence, sensitivity) => {
        const total = plants.reduce((sum, stop) => sum + stop, 0);
        const binomial = valueOf(probabilityOfDetection({ incidence, sensitivity }, total));
        near(valueOf(clusteredDetection({ incidence, correlation: 0, sensitivity }, plants)), binomial, 1e-12);
        near(valueOf(clusteredDetection({ incidence, correlation: 1e-9, sensitivity }, plants)), binomial, 1e-5);
      }),
    );
  });

  it("a look that all but never notices misses all but surely, at any incidence and correlation", () => {
    near(missAtClusteredStop(2, 1 - 2 ** -50, 1e-24, 1e-20), 1, 1e-12);
    near(missAtClusteredStop(50, 1e-15, 1e-24, 1e-20), 1, 1e-12);
  });

  it("fully clustered, a stop is as good as one plant", () => {
    const found = valueOf(clusteredDetection({ incidence: 0.1, correlation: 1, sensitivity: 1 }, [10, 10]));
    near(found, 1 - 0.9 ** 2, 1e-12);
  });

  it("correlation never helps", () => {
    fc.assert(
      fc.property(stops, share(0, 1), share(0, 1), share(0, 1), share(0, 1), (plants, incidence, se, a, b) => {
        const found = (correlation: number): number =>
          valueOf(clusteredDetection({ incidence, correlation, sensitivity: se }, plants));
        assert.ok(found(Math.max(a, b)) <= found(Math.min(a, b)) + 1e-9);
      }),
    );
  });

  it("the stops needed are enough, and one fewer is not", () => {
    fc.assert(
      fc.property(
        share(0.005, 0.9),
        share(0, 0.95),
        share(0.2, 1),
        fc.integer({ min: 1, max: 50 }),
        share(0, 0.999),
        (incidence, correlation, sensitivity, perStop, confidence) => {
          const disease = { incidence, correlation, sensitivity };
          const { stops: needed, plants, probability } = valueOf(stopsNeeded(disease, perStop, confidence));
          assert.equal(plants, needed * perStop);
          assert.ok(probability >= confidence - 1e-12);
          near(probability, valueOf(clusteredDetection(disease, new Array(needed).fill(perStop))), 1e-9);
          if (needed > 0) {
            const fewer = valueOf(clusteredDetection(disease, new Array(needed - 1).fill(perStop)));
            assert.ok(fewer < confidence);
          }
        },
      ),
    );
  });

  it("the incidence that clean stops would have caught is caught with just that confidence", () => {
    fc.assert(
      fc.property(stops, share(0.5, 0.99), share(0, 0.9), share(0.5, 1), (plants, confidence, correlation, se) => {
        const found = detectableIncidenceClustered(plants, confidence, correlation, se);
        if (!found.ok) return;
        const disease = { incidence: found.value, correlation, sensitivity: se };
        near(valueOf(clusteredDetection(disease, plants)), confidence, 1e-9);
      }),
    );
    assert.match(errorOf(detectableIncidenceClustered([], 0.95, 0.1, 1)), /No plants have been dug/);
    assert.match(errorOf(detectableIncidenceClustered([1], 0.95, 0.1, 0.5)), /too few/);
  });
});

describe("risk-weighted digging", () => {
  const strata = (near: number, far: number) => [
    { relativeRisk: 5, shareOfField: 0.1, plants: near },
    { relativeRisk: 1, shareOfField: 0.9, plants: far },
  ];

  it("with equal risks it is the binomial", () => {
    const even = strata(20, 30).map((stratum) => ({ ...stratum, relativeRisk: 3 }));
    near(
      valueOf(riskWeightedDetection(0.02, even, 0.9)).probability,
      valueOf(probabilityOfDetection({ incidence: 0.02, sensitivity: 0.9 }, 50)),
      1e-12,
    );
  });

  it("the same plants find more near the entrance", () => {
    const at = (near: number) => valueOf(riskWeightedDetection(0.02, strata(near, 60 - near), 0.9)).probability;
    for (let moved = 0; moved < 60; moved++) assert.ok(at(moved + 1) > at(moved));
  });

  it("an incidence above all plants is all plants", () => {
    assert.deepEqual(valueOf(riskWeightedDetection(0.9, strata(1, 1), 1)).effectiveIncidence[0], 1);
  });

  it("plain sentences", () => {
    const short = strata(5, 5).map((stratum) => ({ ...stratum, shareOfField: 0.1 }));
    assert.match(errorOf(riskWeightedDetection(0.1, short, 0.9)), /together they make 20 %/);
    assert.match(errorOf(riskWeightedDetection(0.1, [], 0.9)), /must make up 100 %/);
    const riskless = strata(5, 5).map((stratum) => ({ ...stratum, relativeRisk: 0 }));
    assert.match(errorOf(riskWeightedDetection(0.1, riskless, 0.9)), /relative risk above 0/);
  });
});

// Hughes & Madden 1993, Phytopathology 83:759 (read): the beta-binomial for disease incidence.
// Parameters as in the vignette of the R package epiphy (read); the table of detection recomputed.
import { betaParameters, clusteredDetection, varianceInflation } from "../../server/src/agronomy/clustering.ts";
import { near, printed, valueOf } from "../agronomy/value-of.ts";

describe("Hughes & Madden 1993", () => {
  it("parameters at p = .05", () => {
    const loose = valueOf(betaParameters(0.05, 0.02));
    near(loose.alpha, 2.45, 1e-12);
    near(loose.beta, 46.55, 1e-12);
    const tight = valueOf(betaParameters(0.05, 0.1));
    near(tight.alpha, 0.45, 1e-12);
    near(tight.beta, 8.55, 1e-12);
  });

  it("variance inflation 1 + ρ(n − 1)", () => {
    near(valueOf(varianceInflation(10, 0.1)), 1.9, 1e-12);
    near(valueOf(varianceInflation(10, 0)), 1, 0);
    near(valueOf(varianceInflation(10, 1)), 10, 0);
  });

  // Recomputed with 10 stops of 10 plants. 1 % at ρ = .1 is .50446, which is .504 to three places.
  const table: [incidence: number, ...byCorrelation: string[]][] = [
    [0.01, ".634", ".504", ".335"],
    [0.02, ".867", ".756", ".559"],
    [0.05, ".994", ".972", ".873"],
    [0.1, "1.000", ".999", ".985"],
  ];
  for (const [incidence, ...row] of table) {
    it(`probability of detection at ${incidence * 100} %, ρ = 0, .1, .33`, () => {
      [0, 0.1, 0.33].forEach((correlation, i) => {
        const disease = { incidence, correlation, sensitivity: 1 };
        printed(valueOf(clusteredDetection(disease, new Array(10).fill(10))), row[i]);
      });
    });
  }
});

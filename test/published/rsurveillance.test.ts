// The test vectors of the R package RSurveillance (read): detection with sensitivity, sample sizes, risk-weighted
// detection after Martin, Cameron & Greiner 2007 (the formula recomputed).
import { strict as assert } from "node:assert";
import { riskWeightedDetection } from "../../server/src/agronomy/clustering.ts";
import { plantsNeeded, probabilityOfDetection } from "../../server/src/agronomy/plants.ts";
import { printed, valueOf } from "../agronomy/value-of.ts";

describe("RSurveillance", () => {
  it("probability of detection, n = 10 to 100, p = 0.05, Se = 0.9", () => {
    const vector = [
      ".368994",
      ".601831",
      ".748753",
      ".841461",
      ".899961",
      ".936875",
      ".960168",
      ".974866",
      ".984140",
      ".989992",
    ];
    vector.forEach((figure, i) => {
      printed(valueOf(probabilityOfDetection({ incidence: 0.05, sensitivity: 0.9 }, (i + 1) * 10)), figure);
    });
  });

  it("sample size, C = 0.95, Se = 0.91", () => {
    const found = [0.01, 0.02, 0.05, 0.1, 0.2].map(
      (incidence) => valueOf(plantsNeeded({ incidence, sensitivity: 0.91 }, 0.95)).plants,
    );
    assert.deepEqual(found, [328, 164, 65, 32, 15]);
  });

  it("risk-weighted detection: RR 5, 3, 1 on shares .1 .1 .8, p* = .1, five plants each, Se = .9", () => {
    const found = valueOf(
      riskWeightedDetection(
        0.1,
        [
          { relativeRisk: 5, shareOfField: 0.1, plants: 5 },
          { relativeRisk: 3, shareOfField: 0.1, plants: 5 },
          { relativeRisk: 1, shareOfField: 0.8, plants: 5 },
        ],
        0.9,
      ),
    );
    found.adjustedRisk.forEach((risk, i) => printed(risk, ["3.125", "1.875", "0.625"][i]));
    found.effectiveIncidence.forEach((incidence, i) => printed(incidence, ["0.3125", "0.1875", "0.0625"][i]));
    printed(found.probability, "0.9430056");
  });
});

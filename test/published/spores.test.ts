// Half-life 3.6 years, below detection after 17.3: Wallenhammar 1996, Plant Pathol. 45:710 (read; powers recomputed).
// A two-year break left over 90 % fewer spores: Peng et al. 2015 (read). One exponential cannot give both.
// Detection limit 500/g: Wallenhammar et al. 2012 (read). Bands: Manitoba's map; Saskatchewan's symptoms (read).
import { strict as assert } from "node:assert";
import { shareOfSporesLeft, sporeBand, sporesAfter, yearsUntilLevel } from "../../server/src/agronomy/spores.ts";
import { near, printed, valueOf } from "../agronomy/value-of.ts";

const WALLENHAMMAR = { kind: "half-life", halfLifeYears: 3.6 } as const;

describe("spores", () => {
  it("half-life table", () => {
    printed(valueOf(shareOfSporesLeft(WALLENHAMMAR, 2)), ".680");
    printed(valueOf(shareOfSporesLeft(WALLENHAMMAR, 4)), ".463");
    printed(valueOf(shareOfSporesLeft(WALLENHAMMAR, 17.3)), ".0358");
  });

  it("after 17.3 years a count of 14,000/g is below a limit of 500/g, and not a year before", () => {
    // Recomputed: 500 / 0.0358 is about 13,970.
    near(valueOf(yearsUntilLevel(500 / 0.5 ** (17.3 / 3.6), 500, WALLENHAMMAR)), 17.3, 1e-9);
    assert.ok(valueOf(sporesAfter(13_900, WALLENHAMMAR, 17.3)) < 500);
    assert.ok(valueOf(sporesAfter(14_000, WALLENHAMMAR, 16.3)) > 500);
  });

  it("Peng's two-year break cannot come from the single half-life, but from fast then slow it can", () => {
    assert.ok(valueOf(shareOfSporesLeft(WALLENHAMMAR, 2)) > 0.1);
    const both = {
      kind: "fast then slow",
      fastShare: 0.95,
      fastHalfLifeYears: 0.4,
      slowHalfLifeYears: 3.6,
    } as const;
    assert.ok(valueOf(shareOfSporesLeft(both, 2)) < 0.1);
    // Later on it is the slow half-life that counts: from year 10 to 13.6 a half is lost.
    near(valueOf(shareOfSporesLeft(both, 13.6)) / valueOf(shareOfSporesLeft(both, 10)), 0.5, 1e-5);
  });

  it("Saskatchewan: found by DNA at 1,000 to 10,000/g, symptoms from 80,000/g", () => {
    const bands = [
      { upToPerG: 999, name: "not found" },
      { upToPerG: 79_999, name: "found by DNA" },
      { upToPerG: undefined, name: "symptoms" },
    ];
    const named = [500, 1000, 10_000, 80_000, 100_000].map((count) => valueOf(sporeBand(count, bands)).name);
    assert.deepEqual(named, ["not found", "found by DNA", "found by DNA", "symptoms", "symptoms"]);
  });

  it("bands of Manitoba's map, spores/g", () => {
    const bands = [
      { upToPerG: 1000, name: "to 1,000" },
      { upToPerG: 10_000, name: "1,001–10,000" },
      { upToPerG: 80_000, name: "10,001–80,000" },
      { upToPerG: undefined, name: "over 80,000" },
    ];
    const named = [0, 1000, 1001, 10_000, 10_001, 80_000, 80_001, 1e9].map(
      (count) => valueOf(sporeBand(count, bands)).name,
    );
    assert.deepEqual(named, [
      "to 1,000",
      "to 1,000",
      "1,001–10,000",
      "1,001–10,000",
      "10,001–80,000",
      "10,001–80,000",
      "over 80,000",
      "over 80,000",
    ]);
  });
});

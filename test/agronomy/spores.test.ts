import { strict as assert } from "node:assert";
import fc from "fast-check";
import { chancePoolIsPositive, dilutionInPool, incidenceFromPools } from "../../server/src/agronomy/pools.ts";
import {
  shareOfSporesLeft,
  sporeBand,
  sporesAfter,
  sporesByYear,
  yearsUntilLevel,
  type SporeDecline,
} from "../../server/src/agronomy/spores.ts";
import { errorOf, near, valueOf } from "./value-of.ts";

const share = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const years = share(0.05, 20);
const decline: fc.Arbitrary<SporeDecline> = fc.oneof(
  years.map((halfLifeYears) => ({ kind: "half-life" as const, halfLifeYears })),
  fc.record({
    kind: fc.constant("fast then slow" as const),
    fastShare: share(0, 1),
    fastHalfLifeYears: years,
    slowHalfLifeYears: years,
  }),
);

describe("spores", () => {
  it("never rise, start whole, and halve in a half-life", () => {
    fc.assert(
      fc.property(decline, share(0, 40), share(0, 40), (model, a, b) => {
        const left = (at: number): number => valueOf(shareOfSporesLeft(model, at));
        near(left(0), 1, 1e-12);
        assert.ok(left(Math.max(a, b)) <= left(Math.min(a, b)) + 1e-15);
        if (model.kind === "half-life") near(left(a + model.halfLifeYears), left(a) / 2, 1e-12);
      }),
    );
  });

  it("the years until a level are just the years until it", () => {
    fc.assert(
      fc.property(decline, share(1, 1e8), share(1, 1e5), (model, count, level) => {
        const until = valueOf(yearsUntilLevel(count, level, model));
        if (count <= level) assert.equal(until, 0);
        else near(valueOf(sporesAfter(count, model, until)) / level, 1, 1e-9);
      }),
    );
  });

  it("fast then slow with one half-life is the single one", () => {
    const one = { kind: "half-life", halfLifeYears: 3 } as const;
    const two = { kind: "fast then slow", fastShare: 0.7, fastHalfLifeYears: 3, slowHalfLifeYears: 3 } as const;
    near(valueOf(shareOfSporesLeft(two, 5)), valueOf(shareOfSporesLeft(one, 5)), 1e-15);
    near(valueOf(yearsUntilLevel(1e6, 500, two)), valueOf(yearsUntilLevel(1e6, 500, one)), 1e-9);
  });

  it("year by year, with what the lab would see", () => {
    const table = valueOf(sporesByYear(2000, { kind: "half-life", halfLifeYears: 1 }, 3, 500));
    assert.deepEqual(table, [
      { year: 0, sporesPerG: 2000, detectable: true },
      { year: 1, sporesPerG: 1000, detectable: true },
      { year: 2, sporesPerG: 500, detectable: true },
      { year: 3, sporesPerG: 250, detectable: false },
    ]);
  });

  it("limits and plain sentences", () => {
    const model = { kind: "half-life", halfLifeYears: 3.6 } as const;
    assert.equal(valueOf(sporesAfter(0, model, 5)), 0);
    assert.equal(valueOf(yearsUntilLevel(0, 500, model)), 0);
    assert.match(errorOf(yearsUntilLevel(1000, 0, model)), /level to fall to must be a number above 0/);
    assert.match(errorOf(sporesAfter(1000, { kind: "half-life", halfLifeYears: 0 }, 1)), /half-life/);
    assert.match(errorOf(sporesAfter(1000, model, -1)), /number of years/);
    assert.match(errorOf(sporesByYear(1000, model, 1e9, 500)), /0 to 100/);
    assert.match(errorOf(sporeBand(2000, [{ upToPerG: 1000, name: "low" }])), /no band for 2000 spores/);
  });
});

describe("pools", () => {
  it("the estimate gives back the share of positive pools, and Burrows' is never higher", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 200 }),
        share(0, 1),
        fc.integer({ min: 1, max: 50 }),
        (pools, part, size) => {
          const positive = Math.round(part * pools);
          const { estimate, burrows, interval } = valueOf(incidenceFromPools(positive, pools, size, 0.95));
          near(valueOf(chancePoolIsPositive(estimate, size)), positive / pools, 1e-9);
          assert.ok(burrows <= estimate + 1e-12);
          assert.ok(interval.lower <= estimate + 1e-12 && estimate <= interval.upper + 1e-12);
          if (size === 1) assert.equal(burrows, estimate);
        },
      ),
    );
  });

  it("Burrows' estimate is nearer the truth on average, by counting every outcome", () => {
    const [pools, size, truth] = [20, 10, 0.02];
    const p = valueOf(chancePoolIsPositive(truth, size));
    let chance = (1 - p) ** pools;
    let [plain, corrected] = [0, 0];
    for (let x = 0; x <= pools; x++) {
      const found = valueOf(incidenceFromPools(x, pools, size, 0.95));
      plain += chance * found.estimate;
      corrected += chance * found.burrows;
      chance *= ((pools - x) * p) / ((x + 1) * (1 - p));
    }
    assert.ok(Math.abs(corrected - truth) < Math.abs(plain - truth) / 3, `${plain} ${corrected}`);
  });

  it("limits and plain sentences", () => {
    assert.equal(valueOf(incidenceFromPools(5, 5, 10, 0.95)).estimate, 1);
    assert.equal(valueOf(incidenceFromPools(0, 5, 10, 0.95)).estimate, 0);
    assert.equal(valueOf(chancePoolIsPositive(1, 0)), 0);
    assert.match(errorOf(incidenceFromPools(6, 5, 10, 0.95)), /6 positive pools are more than the 5/);
    assert.match(errorOf(dilutionInPool(1000, 11, 10, 500)), /more infested parts/);
    assert.deepEqual(valueOf(dilutionInPool(0, 1, 1, 0)), { sporesPerG: 0, detectable: false });
  });
});

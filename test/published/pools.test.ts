// Pooled samples: P = 1 − (1 − p)^k and its inverse (read); Burrows 1987, Phytopathology 77:363 (from memory).
// The two examples: recomputed.
import { strict as assert } from "node:assert";
import { chancePoolIsPositive, dilutionInPool, incidenceFromPools } from "../../server/src/agronomy/pools.ts";
import { near, printed, valueOf } from "../agronomy/value-of.ts";

describe("pools", () => {
  const rows: [positive: number, pools: number, size: number, estimate: string, burrows: string][] = [
    [2, 10, 5, ".04365", ".04182"],
    [3, 20, 10, ".01612", ".01574"],
  ];
  for (const [positive, pools, size, estimate, burrows] of rows) {
    it(`${positive}/${pools} of ${size}`, () => {
      const found = valueOf(incidenceFromPools(positive, pools, size, 0.95));
      printed(found.estimate, estimate);
      printed(found.burrows, burrows);
      near(valueOf(chancePoolIsPositive(found.estimate, size)), positive / pools, 1e-12);
    });
  }

  it("a diluted composite can fall below the lab's limit, so a negative is weak evidence", () => {
    // 4,000 spores/g in one core of ten, against a limit of 500/g (Wallenhammar et al. 2012, read).
    assert.deepEqual(valueOf(dilutionInPool(4000, 1, 10, 500)), { sporesPerG: 400, detectable: false });
    assert.deepEqual(valueOf(dilutionInPool(4000, 1, 1, 500)), { sporesPerG: 4000, detectable: true });
  });
});

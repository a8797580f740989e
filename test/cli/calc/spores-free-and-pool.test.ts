import { strict as assert } from "node:assert";
import { near, printed } from "../../agronomy/value-of.ts";
import { json, range, text } from "./run-calc.ts";

describe("spadework calc spores, free and pool", () => {
  it("gives the half-life table (Wallenhammar 1996, recomputed)", async () => {
    for (const [years, share] of [
      ["2", ".680"],
      ["4", ".463"],
      ["17.3", ".0358"],
    ] as const) {
      const found = await json("spores", "100000", "--years", years);
      printed(found.share_left as number, share);
      near(found.spores_per_g as number, 100000 * (found.share_left as number), 1e-6);
    }
    // Peng et al. 2015: a break of two years left over 90 % fewer.
    const fast = await json("spores", "100000", "--years", "2", "--model", "fast then slow");
    assert.ok((fast.share_left as number) < 0.1);
  });

  it("names the band and whether the lab would still find them", async () => {
    // Manitoba's bands: to 1,000; to 10,000; to 80,000; above. Detection limit 500 (Wallenhammar et al. 2012).
    const none = await json("spores", "400", "--years", "0");
    assert.deepEqual(
      [none.band_per_g, none.detectable, none.years_until_undetected],
      [{ above: null, up_to: 1000 }, false, 0],
    );
    assert.deepEqual((await json("spores", "1001", "--years", "0")).band_per_g, { above: 1000, up_to: 10000 });
    assert.deepEqual((await json("spores", "80001", "--years", "0")).band_per_g, { above: 80000, up_to: null });
    const until = (await json("spores", "4000", "--years", "1")).years_until_undetected as number;
    near(until, 3 * 3.6, 1e-9); // three halvings: 4000, 2000, 1000, 500
  });

  it("follows freedom season by season (Martin, Cameron & Greiner 2007, from memory)", async () => {
    const found = await json("free", "--prior", "50%", "--detection", "0.95");
    near(found.probability_free as number, 0.5 / 0.525, 1e-12);
    const two = await json("free", "--prior", "0.1", "--plants", "100,160", "--introduction", "0,2%");
    const [first, second] = two.seasons as { prior_infested: number; detection: number; probability_free: number }[];
    near(second!.prior_infested, 1 - first!.probability_free * 0.98, 1e-12);
    near(
      two.probability_free as number,
      (1 - second!.prior_infested) / (1 - second!.prior_infested * second!.detection),
      1e-12,
    );
  });

  it("freedom rises with clean plants and falls with soil brought in", async () => {
    const p = async (...args: string[]) => (await json("free", ...args)).probability_free as number;
    const plain = await p("--plants", "100");
    assert.ok((await p("--plants", "150")) > plain);
    assert.ok((await p("--plants", "100", "--soil-left", "1")) < plain);
    assert.ok(
      (await p("--plants", "100", "--soil-left", "1,1")) < (await p("--plants", "100", "--soil-left", "1,0.1")),
    );
    assert.ok((await p("--plants", "100", "--correlation", "0.1")) < plain);
    near(await p(), 0.9, 1e-12); // the prior alone
  });

  it("never rounds up to certainty", async () => {
    const out = await text("free", "--plants", "100,1000,1000");
    assert.match(
      out,
      /^Free of clubroot in 2 % of the plants or more with over 99\.99 % probability: decision support/,
    );
    assert.match(out, /= over 0\.9999$/m);
    assert.doesNotMatch(out, /100 %|= 1$/m);
    assert.doesNotMatch(await text("free", "--prior", "0"), /100 %/);
  });

  it("counts plants in stops with --per-stop alone too, by the region's correlation", async () => {
    const p = async (...more: string[]) => (await json("free", "--plants", "100", ...more)).probability_free as number;
    assert.equal(await p("--per-stop", "20"), await p("--per-stop", "20", "--correlation", "0.1"));
    assert.ok((await p("--per-stop", "20")) < (await p()));
  });

  it("the plants it asks for are enough, and one fewer is not", async () => {
    const { more_plants: more } = await json("free", "--wanted", "99%");
    const p = async (n: number) => (await json("free", "--plants", String(n))).probability_free as number;
    assert.ok((await p(more as number)) >= 0.99 && (await p((more as number) - 1)) < 0.99);
  });

  it("gives the published pools (Burrows 1987 from memory, recomputed)", async () => {
    for (const [count, size, estimate, burrows] of [
      ["2/10", "5", ".04365", ".04182"],
      ["3/20", "10", ".01612", ".01574"],
    ] as const) {
      const found = await json("pool", count, "--size", size);
      printed(found.estimate as number, estimate);
      printed(found.burrows as number, burrows);
      const [lower, upper] = range(found.clopper_pearson);
      assert.ok(lower < (found.burrows as number) && (found.estimate as number) < upper);
    }
  });
});

describe("spadework calc pool with a count of spores", () => {
  it("says whether the pool would still be found", async () => {
    // 4,000 spores/g in one of ten cores are 400 in the pool, below 500 (Wallenhammar et al. 2012).
    const ten = await json("pool", "0/6", "--size", "10", "--spores", "4000");
    assert.deepEqual([ten.pooled_spores_per_g, ten.detectable], [400, false]);
    const eight = await json("pool", "0/6", "--size", "8", "--spores", "4000");
    assert.deepEqual([eight.pooled_spores_per_g, eight.detectable], [500, true]);
    assert.match(
      await text("pool", "0/6", "--size", "10", "--spores", "4000"),
      /leaves 400 in the pool, below what the lab finds, 500/,
    );
  });
});

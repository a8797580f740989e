import { strict as assert } from "node:assert";
import { near, printed } from "../../agronomy/value-of.ts";
import { json, refused, text } from "./run-calc.ts";

describe("spadework calc mix", () => {
  it("gives the dilution table (CDC, Environmental Cleaning, appendix E; recomputed)", async () => {
    for (const [stock, strength, ml] of [
      ["5.25%", "1%", "1905"],
      ["5.25%", "2%", "3810"],
      ["8.25%", "1%", "1212"],
      ["6%", "1%", "1667"],
      ["12%", "0.01", "833"],
    ] as const) {
      const found = await json("mix", "--stock", stock, "--strength", strength, "--litres", "10");
      printed(found.stock_ml as number, ml);
      near((found.stock_ml as number) + (found.water_ml as number), 10000, 1e-9);
    }
    near((await json(..."mix --stock 3.5% --strength 0.5% --litres 1".split(" "))).parts_water as number, 6, 1e-9);
    near((await json(..."mix --stock 5% --strength 0.1% --litres 1".split(" "))).parts_water as number, 49, 1e-9);
    printed(
      (await json(..."mix --powder 35% --strength 0.5% --litres 1".split(" "))).grams_per_litre as number,
      "14.3",
    );
  });

  it("says what the published traps really give", async () => {
    const ratio = await json("mix", "--stock", "5.25%", "--recipe", "1:10");
    printed(ratio.strength_percent as number, "0.48");
    assert.equal(ratio.too_weak, true);
    const share = await json("mix", "--stock", "5.25%", "--recipe", "10 % bleach");
    near(share.strength_percent as number, 0.525, 1e-12);
    assert.match(await text("mix", "--stock", "5.25%", "--recipe", "10%"), /0\.53 %, less than the 1 % wanted/);
    assert.match(
      await refused("mix", "--stock", "5.25%", "--strength", "10%", "--litres", "5"),
      /"10 % bleach" is .* 0\.53 %/,
    );
  });

  it("tells every recipe of a text, and the volumes of it for an amount", async () => {
    const both = await text("mix", "--stock", "5.25%", "--recipe", "10 % bleach, or 1:10", "--litres", "11");
    // A tenth of 5.25 % is 0.525 %; 1 part to 10 is 0.477 %. 11 L of the first are 1.1 L of stock.
    assert.match(both, /gives 0\.53 %/);
    assert.match(both, /gives 0\.48 %/);
    assert.match(both, /^11 L of it are 1100 mL of stock and 9900 mL of water\.$/m);
  });

  it("prints the cautions with every mix", async () => {
    for (const args of [
      ["--stock", "5.25%", "--litres", "10"],
      ["--stock", "5.25%", "--recipe", "1:10"],
      ["--stock", "5.25%", "--stock-litres", "2", "--water-litres", "8.5"],
      ["--powder", "35%", "--litres", "10"],
    ]) {
      const out = await text("mix", ...args);
      for (const caution of [
        /label and local rules/,
        /acids or ammonia/,
        /gloves and eye protection/,
        /into the water/,
        /24 hours/,
      ])
        assert.match(out, caution);
      const { cautions } = await json("mix", ...args);
      assert.ok((cautions as { text: string; source: string }[]).every(({ source }) => source.length > 0));
    }
  });
});

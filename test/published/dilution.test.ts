// CDC, Best Practices for Environmental Cleaning, appendix E (read): parts of water to one of bleach, powder in g/L.
// Millilitres of bleach in 10 L of mix: recomputed. The two traps: published recipes (read), recomputed.
import { strict as assert } from "node:assert";
import { mixFor, mixingCautions, powderFor, strengthFromVolumes } from "../../server/src/agronomy/mixing.ts";
import { mixingTraps } from "../../server/src/agronomy/mixing-traps.ts";
import { near, printed, valueOf } from "../agronomy/value-of.ts";

describe("dilution", () => {
  it("parts of water: 3.5 % to 0.5 %: 6; 5 % to 0.1 %: 49", () => {
    near(valueOf(mixFor(3.5, 0.5, 1)).partsWater, 6, 1e-12);
    near(valueOf(mixFor(5, 0.1, 1)).partsWater, 49, 1e-12);
  });

  it("powder: 35 % to 0.5 %: 14.3 g/L", () => {
    const powder = valueOf(powderFor(35, 0.5, 10));
    printed(powder.gramsPerLitre, "14.3");
    near(powder.grams, powder.gramsPerLitre * 10, 1e-12);
  });

  const inTenLitres: [stock: number, wanted: number, ml: string][] = [
    [5.25, 1, "1905"],
    [5.25, 2, "3810"],
    [8.25, 1, "1212"],
    [6, 1, "1667"],
    [12, 1, "833"],
  ];
  for (const [stock, wanted, ml] of inTenLitres) {
    it(`${ml} mL of ${stock} % in 10 L give ${wanted} %`, () => {
      const mix = valueOf(mixFor(stock, wanted, 10));
      printed(mix.stockMl, ml);
      near(mix.stockMl + mix.waterMl, 10_000, 1e-9);
      near(valueOf(strengthFromVolumes(stock, mix.stockMl, mix.waterMl)), wanted, 1e-12);
    });
  }

  it('trap: "1:10" with 5.25 % is 0.48 %, not 1 %', () => {
    const [trap, ...more] = mixingTraps("bleach 1:10 in the tub", 5.25, 1);
    assert.equal(more.length, 0);
    assert.equal(trap.kind, "ratio");
    printed(trap.strengthPercent, "0.48");
    assert.equal(trap.tooWeak, true);
    assert.equal("bleach 1:10 in the tub".slice(trap.start, trap.end), "1:10");
    assert.match(trap.explanation, /1 part to 10 of water.*gives 0\.48 %, less than the 1 % wanted/);
  });

  it('trap: "10 % bleach" of 5.25 % is 0.5 % hypochlorite', () => {
    const [trap, ...more] = mixingTraps("10 % bleach", 5.25, 1);
    assert.equal(more.length, 0);
    assert.equal(trap.kind, "percent of bleach");
    printed(trap.strengthPercent, "0.5");
    assert.equal(trap.tooWeak, true);
  });

  it("the usual cautions stand with their sources, the label before all", () => {
    const cautions = mixingCautions(24);
    assert.match(cautions[0].text, /label and local rules/);
    const text = cautions.map((caution) => caution.text).join("\n");
    for (const said of [/corrosive/, /acids or ammonia/, /gloves and eye/, /into the water/, /Label/, /24 hours/]) {
      assert.match(text, said);
    }
    assert.ok(cautions.every((caution) => /CDC/.test(caution.source)));
    assert.doesNotMatch(
      mixingCautions(undefined)
        .map((caution) => caution.text)
        .join(),
      /\d/,
    );
  });
});

import { strict as assert } from "node:assert";
import fc from "fast-check";
import { mixFor, powderFor, strengthFromVolumes } from "../../server/src/agronomy/mixing.ts";
import { mixingTraps } from "../../server/src/agronomy/mixing-traps.ts";
import { errorOf, near, valueOf } from "./value-of.ts";

const percent = fc.double({ min: 0.01, max: 100, noNaN: true });
const litres = fc.double({ min: 0.001, max: 1e6, noNaN: true });

describe("mixing", () => {
  it("a mix has the strength it was asked for", () => {
    fc.assert(
      fc.property(percent, percent, litres, (a, b, amount) => {
        const [wanted, stock] = [Math.min(a, b), Math.max(a, b)];
        const mix = valueOf(mixFor(stock, wanted, amount));
        assert.ok(mix.stockMl >= 0 && mix.waterMl >= 0 && mix.partsWater >= 0);
        near(valueOf(strengthFromVolumes(stock, mix.stockMl / 1000, mix.waterMl / 1000)), wanted, 1e-9 * stock);
        near((mix.stockMl + mix.waterMl) / 1000 / amount, 1, 1e-12);
      }),
    );
  });

  it("limits and plain sentences", () => {
    assert.equal(valueOf(mixFor(5.25, 5.25, 10)).waterMl, 0);
    assert.equal(valueOf(strengthFromVolumes(5.25, 0, 10)), 0);
    assert.equal(valueOf(strengthFromVolumes(5.25, 10, 0)), 5.25);
    assert.equal(valueOf(strengthFromVolumes(5.25, 1e308, 1e308)), 2.625);
    assert.match(errorOf(mixFor(5.25, 6, 10)), /5\.25 % cannot make a mix of 6 %; take a stronger stock/);
    assert.match(errorOf(powderFor(35, 40, 10)), /powder of 35 %/);
    assert.match(errorOf(strengthFromVolumes(5.25, 0, 0)), /neither stock nor water/);
    assert.match(errorOf(strengthFromVolumes(5.25, -1, 1)), /amount of stock .*not -1/);
    assert.match(errorOf(mixFor(101, 1, 1)), /at most 100 %, not 101 %/);
    assert.match(errorOf(mixFor(NaN, 1, 1)), /nothing that is a number/);
  });
});

describe("traps in how a mix is written", () => {
  const found = (text: string, stock = 5.25, wanted = 1) =>
    mixingTraps(text, stock, wanted).map((trap) => [
      trap.text,
      Math.round(trap.strengthPercent * 100) / 100,
      trap.tooWeak,
    ]);

  it("finds them wherever they stand, in order", () => {
    assert.deepEqual(found("Household bleach, 1:10. Or 10% bleach; or 10 percent bleach."), [
      ["1:10", 0.48, true],
      ["10% bleach", 0.53, true],
      ["10 percent bleach", 0.53, true],
    ]);
    assert.deepEqual(found("1 : 4 and 2:1"), [
      ["1 : 4", 1.05, false],
      ["2:1", 3.5, false],
    ]);
  });

  it("leaves times, dates, the stock's own strength and the active ingredient alone", () => {
    for (const text of [
      "at 1:10 pm",
      "1:10 a.m.",
      "2026-08-14T11:10:00",
      "5.25 % bleach",
      "1 % hypochlorite",
      "ratio 1:10.5",
      "0:10",
      "",
    ]) {
      assert.deepEqual(found(text), [], text);
    }
  });

  it("a stock strong enough is no trap", () => {
    assert.deepEqual(found("1:10", 12, 1), [["1:10", 1.09, false]]);
  });

  it("nothing is found, and no time lost, in hostile text or with figures that are none", () => {
    assert.deepEqual(found("1:10", NaN, 1), []);
    assert.deepEqual(found("1:10", 5.25, Infinity).length, 1);
    for (const text of [
      "1:".repeat(50_000),
      "1".repeat(100_000),
      "1 % ".repeat(50_000),
      `1${" ".repeat(100_000)}:10`,
    ]) {
      assert.ok(mixingTraps(text, 5.25, 1).length >= 0);
    }
    fc.assert(
      fc.property(fc.string(), (text) => {
        for (const trap of mixingTraps(text, 5.25, 1)) assert.equal(text.slice(trap.start, trap.end), trap.text);
      }),
    );
  });
});

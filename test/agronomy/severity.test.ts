import { strict as assert } from "node:assert";
import binomialCdf from "@stdlib/stats-base-dists-binomial-cdf";
import fc from "fast-check";
import jstat from "jstat";
import { clopperPearson, proportionIntervals, wilson } from "../../server/src/agronomy/interval.ts";
import { severity, severityByPlace, severityIntervals, yieldLossRange } from "../../server/src/agronomy/severity.ts";
import { errorOf, near, valueOf } from "./value-of.ts";

const share = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const ratings = fc
  .array(fc.integer({ min: 0, max: 200 }), { minLength: 4, maxLength: 4 })
  .filter((counts) => counts.some((count) => count > 0));

/** C(n, x) p^x (1 − p)^(n − x) for x = 0 … n. */
function binomialChances(n: number, p: number): number[] {
  const chances = [(1 - p) ** n];
  for (let x = 0; x < n; x++) chances.push((chances[x] * ((n - x) * p)) / ((x + 1) * (1 - p)));
  return chances;
}

describe("intervals", () => {
  it("the exact interval's ends leave half of α on either side, to 1e-9", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 2000 }), share(0, 1), share(0.5, 0.999), (n, part, confidence) => {
        const x = Math.round(part * n);
        const { lower, upper } = clopperPearson(x, n, confidence);
        const tail = (1 - confidence) / 2;
        if (x > 0) near(1 - binomialCdf(x - 1, n, lower), tail, 1e-9); // P(X ≥ x)
        if (x < n) near(binomialCdf(x, n, upper), tail, 1e-9); // P(X ≤ x)
      }),
    );
  });

  it("Wilson's ends solve the score equation, to 1e-9", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 5000 }), share(0, 1), share(0.5, 0.999), (n, part, confidence) => {
        const x = Math.round(part * n);
        const z = Math.abs(jstat.normal.inv((1 - confidence) / 2, 0, 1));
        const { lower, upper } = wilson(x, n, confidence);
        for (const end of [lower, upper]) {
          if (end === 0 || end === 1) continue;
          near((x / n - end) ** 2, (z * z * end * (1 - end)) / n, 1e-9);
        }
      }),
    );
  });

  it("exact intervals hold the true share at least as often as they say, by counting every outcome", () => {
    for (const n of [1, 5, 20, 37]) {
      for (const confidence of [0.8, 0.95]) {
        const intervals = Array.from({ length: n + 1 }, (_, x) => clopperPearson(x, n, confidence));
        for (let p = 0.005; p < 1; p += 0.005) {
          const held = binomialChances(n, p).reduce(
            (sum, chance, x) => sum + (intervals[x].lower <= p && p <= intervals[x].upper ? chance : 0),
            0,
          );
          assert.ok(held >= confidence - 1e-12, `n ${n}, p ${p}: ${held}`);
        }
      }
    }
  });

  it("Wilson's holds it about as often", () => {
    const n = 40;
    let [mean, points] = [0, 0];
    for (let p = 0.05; p <= 0.95; p += 0.005) {
      binomialChances(n, p).forEach((chance, x) => {
        const { lower, upper } = wilson(x, n, 0.95);
        if (lower <= p && p <= upper) mean += chance;
      });
      points++;
    }
    near(mean / points, 0.95, 0.01);
  });

  it("both lie around the proportion, and mirror when found and not found change places", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 3000 }), share(0, 1), share(0.01, 1), (n, part, confidence) => {
        const x = Math.round(part * n);
        for (const method of [clopperPearson, wilson]) {
          const [one, other] = [method(x, n, confidence), method(n - x, n, confidence)];
          assert.ok(0 <= one.lower && one.lower <= one.upper && one.upper <= 1);
          if (confidence >= 0.5) assert.ok(one.lower <= x / n + 1e-12 && x / n <= one.upper + 1e-12);
          near(one.lower, 1 - other.upper, 1e-9);
        }
      }),
    );
  });

  it("keep their digits at a confidence close to 1", () => {
    for (const method of [clopperPearson, wilson])
      near(method(3, 4, 0.9999999999977515).lower, 1 - method(1, 4, 0.9999999999977515).upper, 1e-12);
  });

  it("limits and plain sentences", () => {
    assert.deepEqual(valueOf(proportionIntervals(3, 10, 1)).clopperPearson, { lower: 0, upper: 1 });
    assert.deepEqual(valueOf(proportionIntervals(3, 10, 1)).wilson, { lower: 0, upper: 1 });
    assert.equal(valueOf(proportionIntervals(10, 10, 0.95)).clopperPearson.upper, 1);
    assert.match(errorOf(proportionIntervals(0, 0, 0.95)), /1 or more, not 0/);
    assert.match(errorOf(proportionIntervals(11, 10, 0.95)), /11 found are more than the 10/);
    assert.match(errorOf(proportionIntervals(1.5, 10, 0.95)), /whole number/);
  });
});

describe("severity", () => {
  it("incidence/3 ≤ DSI ≤ incidence", () => {
    fc.assert(
      fc.property(ratings, (counts) => {
        const { incidencePercent, dsiPercent } = valueOf(severity(counts));
        assert.ok(incidencePercent / 3 <= dsiPercent + 1e-9 && dsiPercent <= incidencePercent + 1e-9);
      }),
    );
  });

  it("the interval of the DSI holds it, and with ratings 0 and 3 alone it is that of a proportion, but wider", () => {
    fc.assert(
      fc.property(ratings, share(0.5, 0.99), (counts, confidence) => {
        const { dsiPercent } = valueOf(severity(counts));
        const { dsi } = valueOf(severityIntervals(counts, confidence));
        for (const { lower, upper } of [dsi.clopperPearson, dsi.wilson]) {
          assert.ok(lower <= dsiPercent + 1e-9 && dsiPercent <= upper + 1e-9 && lower >= 0 && upper <= 100);
        }
      }),
    );
    const { incidence, dsi } = valueOf(severityIntervals([18, 0, 0, 2], 0.95));
    assert.ok(dsi.clopperPearson.lower < incidence.clopperPearson.lower);
    assert.ok(dsi.clopperPearson.upper > incidence.clopperPearson.upper);
  });

  it("the exact interval of the DSI holds the true one at least as often as it says, by counting every outcome", () => {
    const n = 12;
    const logFactorial = (k: number): number => (k < 2 ? 0 : Math.log(k) + logFactorial(k - 1));
    const outcomes: number[][] = [];
    for (let a = 0; a <= n; a++)
      for (let b = 0; a + b <= n; b++) for (let c = 0; a + b + c <= n; c++) outcomes.push([a, b, c, n - a - b - c]);
    const intervals = outcomes.map((counts) => valueOf(severityIntervals(counts, 0.9)).dsi.clopperPearson);
    for (const truth of [
      [0.9, 0.05, 0.03, 0.02],
      [0.5, 0.2, 0.2, 0.1],
      [0.1, 0.1, 0.1, 0.7],
      [0.97, 0.01, 0.01, 0.01],
    ]) {
      const dsi = ((truth[1] + 2 * truth[2] + 3 * truth[3]) / 3) * 100;
      const held = outcomes.reduce((sum, counts, i) => {
        if (intervals[i].lower > dsi || dsi > intervals[i].upper) return sum;
        const log = counts.reduce(
          (so, count, r) => so - logFactorial(count) + count * Math.log(truth[r]),
          logFactorial(n),
        );
        return sum + Math.exp(log);
      }, 0);
      assert.ok(held >= 0.9, `${truth.join("/")}: ${held}`);
    }
  });

  it("pools by place, and the pooled figure is the plants' own mean of the places", () => {
    const { places, pooled } = valueOf(
      severityByPlace([
        { place: "entrance", ratings: [18, 1, 1, 0] },
        { place: "patch", ratings: [2, 2, 3, 3] },
        { place: "entrance", ratings: [10, 0, 0, 0] },
        { place: "low spot", ratings: [0, 0, 0, 0] },
      ]),
    );
    assert.deepEqual(
      places.map((one) => [one.place, one.ratings, one.plants]),
      [
        ["entrance", [28, 1, 1, 0], 30],
        ["patch", [2, 2, 3, 3], 10],
      ],
    );
    assert.deepEqual(pooled.ratings, [30, 3, 4, 3]);
    near(pooled.dsiPercent, (places[0].dsiPercent * 30 + places[1].dsiPercent * 10) / 40, 1e-9);
  });

  it("plain sentences", () => {
    assert.match(errorOf(severity([0, 0, 0, 0])), /No plants were rated/);
    assert.match(errorOf(severity([5])), /for each class/);
    assert.match(errorOf(severity([5, -1, 0, 0])), /rated 1 .*not -1/);
    assert.match(errorOf(severityByPlace([])), /No plants/);
    const mixed = [
      { place: "patch", ratings: [1, 0] },
      { place: "patch", ratings: [1, 0, 0, 0] },
    ];
    assert.match(errorOf(severityByPlace(mixed)), /different length/);
    assert.match(errorOf(yieldLossRange({ incidencePercent: 5, dsiPercent: 3 }, [])), /names no figure/);
  });

  it("yield loss never passes the whole yield", () => {
    const slopes = [{ lossPerPercent: 5, of: "dsi", source: "invented" } as const];
    assert.equal(valueOf(yieldLossRange({ incidencePercent: 100, dsiPercent: 100 }, slopes)).highPercent, 100);
  });
});

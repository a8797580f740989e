import { strict as assert } from "node:assert";
import fc from "fast-check";
import { freedomChain, morePlantsForFreedom, probabilityOfIntroduction } from "../../server/src/agronomy/freedom.ts";
import { probabilityOfDetection } from "../../server/src/agronomy/plants.ts";
import { errorOf, near, valueOf } from "./value-of.ts";

const share = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const season = fc.record({
  season: fc.integer({ min: 2000, max: 2100 }),
  introduction: share(0, 0.5),
  detection: share(0, 0.99),
});
const seasons = fc.array(season, { minLength: 1, maxLength: 8 });

describe("freedom", () => {
  it("rises with clean digs and falls with exposure, in whichever season", () => {
    fc.assert(
      fc.property(share(0, 1), seasons, fc.nat(), share(0, 1), (prior, all, at, more) => {
        const i = at % all.length;
        const free = valueOf(freedomChain(prior, all)).probabilityFree;
        const changed = (change: (one: (typeof all)[number]) => (typeof all)[number]): number =>
          valueOf(freedomChain(prior, all.with(i, change(all[i])))).probabilityFree;
        const up = (value: number): number => value + (0.99 - value) * more;
        assert.ok(changed((one) => ({ ...one, detection: up(one.detection) })) >= free - 1e-12);
        assert.ok(changed((one) => ({ ...one, introduction: up(one.introduction) })) <= free + 1e-12);
        assert.ok(free >= 0 && free <= 1);
      }),
    );
  });

  it("each season's dig cannot lower it; two digs count as their product", () => {
    fc.assert(
      fc.property(share(0, 1), share(0, 0.99), share(0, 0.99), (prior, a, b) => {
        const two = valueOf(
          freedomChain(prior, [
            { season: 2025, introduction: 0, detection: a },
            { season: 2026, introduction: 0, detection: b },
          ]),
        );
        const both = 1 - (1 - a) * (1 - b);
        const one = valueOf(freedomChain(prior, [{ season: 2026, introduction: 0, detection: both }]));
        near(two.probabilityFree, one.probabilityFree, 1e-9);
        for (const term of two.seasons) assert.ok(term.probabilityFree >= 1 - term.priorInfested - 1e-12);
      }),
    );
  });

  it("introduction: every arrival adds, order does not matter, cleaner soil brings less", () => {
    const arrivals = fc.array(share(0, 1), { maxLength: 10 });
    fc.assert(
      fc.property(arrivals, share(0, 1), share(0, 1), (shares, extra, p) => {
        const of = (list: number[]): number =>
          valueOf(
            probabilityOfIntroduction(
              list.map((shareOfSoilLeft) => ({ shareOfSoilLeft })),
              p,
            ),
          ).probability;
        near(of(shares), 1 - shares.reduce((product, one) => product * (1 - one * p), 1), 1e-9);
        near(of(shares), of(shares.toReversed()), 1e-12);
        assert.ok(of([...shares, extra]) >= of(shares) - 1e-15);
        assert.ok(of(shares.map((one) => one * 0.1)) <= of(shares) + 1e-15);
      }),
    );
    assert.equal(Object.is(valueOf(probabilityOfIntroduction([], 0.3)).probability, 0), true);
  });

  it("the plants still to dig raise it to the wanted level, and one fewer does not", () => {
    const population = fc.option(fc.integer({ min: 500, max: 20_000 }), { nil: undefined });
    fc.assert(
      fc.property(
        share(0.05, 0.95),
        share(0.5, 0.99),
        fc.integer({ min: 0, max: 300 }),
        population,
        (prior, wanted, dug, n) => {
          const looking = { incidence: 0.02, sensitivity: 0.95, population: n };
          const result = morePlantsForFreedom(prior, wanted, dug, looking);
          if (!result.ok) return assert.ok(n !== undefined);
          const free = (plants: number): number => {
            const detection = valueOf(probabilityOfDetection(looking, plants));
            return valueOf(freedomChain(prior, [{ season: 2026, introduction: 0, detection }])).probabilityFree;
          };
          const { plants } = result.value;
          assert.ok(free(dug + plants) >= wanted - 1e-9);
          if (plants > 0) assert.ok(free(dug + plants - 1) < wanted);
        },
      ),
    );
  });

  it("limits and plain sentences", () => {
    const looking = { incidence: 0.02, sensitivity: 0.95 };
    assert.equal(valueOf(freedomChain(0.3, [])).probabilityFree, 0.7);
    assert.equal(valueOf(freedomChain(1, [{ season: 2026, introduction: 0, detection: 0.9 }])).probabilityFree, 0);
    assert.equal(valueOf(morePlantsForFreedom(0.01, 0.95, 0, looking)).plants, 0);
    assert.match(errorOf(freedomChain(1, [{ season: 2026, introduction: 0, detection: 1 }])), /before 2026/);
    assert.match(errorOf(morePlantsForFreedom(1, 0.95, 0, looking)), /certainly infested/);
    assert.match(errorOf(morePlantsForFreedom(0.5, 1, 0, looking)), /100 % cannot be reached by digging/);
    assert.match(errorOf(probabilityOfIntroduction([{ shareOfSoilLeft: 2 }], 0.1)), /share of soil left .*200 %/);
  });
});

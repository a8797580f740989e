import { strict as assert } from "node:assert";
import fc from "fast-check";
import { planBound } from "../../server/src/planning/plan-bound.ts";
import { searchPlan } from "../../server/src/planning/plan-search.ts";
import { solvePlan } from "../../server/src/planning/solve-plan.ts";
import { costOf, type Leg, type Routes, type WalkProblem } from "../../server/src/planning/walk-problem.ts";
import { bruteForce, isBetter, metresOf } from "./brute-force.ts";

const leg = fc.record({
  metres: fc.integer({ min: 0, max: 9 }).map((km) => km * 1000),
  minutes: fc.integer({ min: 0, max: 40 }),
});

/** Problems of up to five fields and three walkers' days in which something is always too tight. */
const problems: fc.Arbitrary<WalkProblem> = fc
  .tuple(fc.integer({ min: 1, max: 5 }), fc.integer({ min: 1, max: 3 }), fc.integer({ min: 1, max: 3 }))
  .chain(([count, shiftCount, days]) => {
    const legs = fc.array(leg, { minLength: count, maxLength: count });
    const openFrom = fc.oneof(
      { weight: 3, arbitrary: fc.constant(0) },
      { weight: 1, arbitrary: fc.constant(Infinity) },
      { weight: 1, arbitrary: fc.integer({ min: 0, max: 500 }) },
    );
    return fc.record({
      tasks: fc.array(
        fc.record({
          field: fc.constant("f"),
          rank: fc.integer({ min: 0, max: 3 }),
          minutes: fc.integer({ min: 20, max: 200 }),
          closesInPlan: fc.boolean(),
          openFrom: fc.array(openFrom, { minLength: days, maxLength: days }),
        }),
        { minLength: count, maxLength: count },
      ),
      shifts: fc.array(
        fc.record({
          walker: fc.constant("w"),
          day: fc.integer({ min: 0, max: days - 1 }),
          begins: fc.integer({ min: 0, max: 100 }),
          ends: fc.integer({ min: 150, max: 600 }),
          leastRank: fc.oneof({ weight: 4, arbitrary: fc.constant(0) }, fc.integer({ min: 0, max: 3 })),
          out: legs,
          back: legs,
          idle: fc.constant<Leg>({ metres: 0, minutes: 0 }),
        }),
        { minLength: shiftCount, maxLength: shiftCount },
      ),
      between: fc.array(legs, { minLength: count, maxLength: count }),
    });
  });

/** Every rule that a plan must keep, asked again by other code than the planner's. */
function keepsTheRules(problem: WalkProblem, routes: Routes): void {
  const walked = routes.flat();
  assert.equal(new Set(walked).size, walked.length, "a field is walked twice");
  problem.shifts.forEach((shift, i) => {
    if (routes[i]!.length > 0) assert.notEqual(metresOf(problem, shift, routes[i]!), Infinity);
  });
}

describe("the plan of a small book", () => {
  it("is never worse than the best of all orders on all days, and never breaks a rule", () => {
    fc.assert(
      fc.property(problems, (problem) => {
        const { routes, cost, method } = solvePlan(problem);
        assert.equal(method, "exact");
        keepsTheRules(problem, routes);
        assert.deepEqual(cost, bruteForce(problem));
      }),
      { numRuns: 1000 },
    );
  });

  it("found by the search for large books is no better than the best, and the bound no higher", () => {
    fc.assert(
      fc.property(problems, (problem) => {
        const routes = searchPlan(problem);
        keepsTheRules(problem, routes);
        const [cost, best] = [costOf(problem, routes), bruteForce(problem)];
        assert.ok(!isBetter(cost, best));
        const bound = planBound(problem, cost);
        assert.ok(bound.missed <= best.missed, `${bound.missed} missed at least, and ${best.missed} are enough`);
        assert.ok(bound.leftOut <= best.missed + best.left);
        // Of plans that walk as many fields as the best one, the bound of driving speaks.
        if (cost.missed === best.missed && cost.left === best.left) assert.ok(bound.metres <= best.metres);
      }),
      { numRuns: 500 },
    );
  });
});

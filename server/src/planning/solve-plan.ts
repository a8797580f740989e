import { exactPlan } from "./exact-plan.ts";
import { planBound, type PlanBound } from "./plan-bound.ts";
import { searchPlan } from "./plan-search.ts";
import { costOf, type PlanCost, type Routes, type WalkProblem } from "./walk-problem.ts";

export interface SolvedPlan {
  readonly routes: Routes;
  readonly cost: PlanCost;
  /** Exact: every order on every day was weighed, and no plan is better. Search: a good plan, see its bound. */
  readonly method: "exact" | "search";
  readonly bound: PlanBound;
}

/** The best plan, or above the size at which that can be had a good one with what no plan can do better than. */
export function solvePlan(problem: WalkProblem): SolvedPlan {
  const exact = exactPlan(problem);
  const routes = exact ?? searchPlan(problem);
  const cost = costOf(problem, routes);
  if (!exact) return { routes, cost, method: "search", bound: planBound(problem, cost) };
  const bound = { missed: cost.missed, leftOut: cost.missed + cost.left, metres: cost.metres };
  return { routes, cost, method: "exact", bound };
}

import type { PlanCost, Route, Shift, WalkProblem } from "../../server/src/planning/walk-problem.ts";

/** The least cost over every way to give fields to walkers' days, in every order. Slow, and simple enough to be right. */
export function bruteForce(problem: WalkProblem): PlanCost {
  const { tasks, shifts } = problem;
  const routes: number[][] = shifts.map(() => []);
  let best: PlanCost | undefined;
  const give = (task: number): void => {
    if (task === tasks.length) {
      let [metres, waited] = [0, 0];
      for (const [i, shift] of shifts.entries()) {
        metres += leastMetres(problem, shift, routes[i]!);
        waited += routes[i]!.length * shift.day;
      }
      if (!Number.isFinite(metres)) return;
      const walked = new Set(routes.flat());
      const out = tasks.filter((_, i) => !walked.has(i));
      const missed = out.filter((one) => one.closesInPlan).length;
      const cost = { missed, left: out.length - missed, metres, waited };
      if (!best || isBetter(cost, best)) best = cost;
      return;
    }
    give(task + 1);
    for (const route of routes) {
      route.push(task);
      give(task + 1);
      route.pop();
    }
  };
  give(0);
  return best!;
}

export function isBetter(a: PlanCost, b: PlanCost): boolean {
  const [x, y] = [a, b].map((cost) => [cost.missed, cost.left, cost.metres, cost.waited]);
  for (let i = 0; i < 4; i++) if (x![i] !== y![i]) return x![i]! < y![i]!;
  return false;
}

function leastMetres(problem: WalkProblem, shift: Shift, set: readonly number[]): number {
  if (set.length === 0) return shift.idle.metres;
  return Math.min(...ordersOf(set).map((order) => metresOf(problem, shift, order)));
}

/** Infinity where the order breaks a rule. */
export function metresOf({ tasks, between }: WalkProblem, shift: Shift, order: Route): number {
  let [clock, metres] = [shift.begins, 0];
  for (let i = 0; i < order.length; i++) {
    const task = tasks[order[i]!]!;
    const leg = i === 0 ? shift.out[order[i]!]! : between[order[i - 1]!]![order[i]!]!;
    metres += leg.metres;
    clock += leg.minutes;
    const opens = task.openFrom[shift.day]!;
    if (opens === Infinity) return Infinity;
    if (clock < opens) clock = opens;
    clock += task.minutes;
    if (task.rank < shift.leastRank) return Infinity;
    if (i > 0 && tasks[order[i - 1]!]!.rank > task.rank) return Infinity;
  }
  const home = shift.back[order.at(-1)!]!;
  return clock + home.minutes > shift.ends ? Infinity : metres + home.metres;
}

function ordersOf(set: readonly number[]): number[][] {
  if (set.length < 2) return [[...set]];
  return set.flatMap((first) => ordersOf(set.filter((one) => one !== first)).map((rest) => [first, ...rest]));
}

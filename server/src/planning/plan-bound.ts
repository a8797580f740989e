import { cheapestWalk, kindsOfShifts, type KindOfShift } from "./cheapest-walk.ts";
import type { PlanCost, WalkProblem } from "./walk-problem.ts";

/** What no plan can do better than. */
export interface PlanBound {
  /** Fields whose window closes within the plan's days: at least so many are left out. */
  readonly missed: number;
  /** Fields left out in all, at least. */
  readonly leftOut: number;
  /** Metres to drive for as many fields as the plan at hand walks, at least. */
  readonly metres: number;
}

/** Half of what leaving a field out costs. */
const FIRST_PRICE = 0.5;
/** Rounds of a price search. */
const ROUNDS = 200;
/** Rounds without a better bound after which the steps are halved. */
const PATIENCE = 6;
/** Steps of one price search, about two seconds at most. */
const MOST_STEPS = 6e7;
const ROUNDING = 1e-6;

/**
 * Bounds that hold for every plan that keeps to the rules, however it was found, by Lagrangian relaxation (Held & Karp 1970,
 * Oper. Res. 18:1138; steps after Polyak 1969): each field has a price, each walker's day takes the route that earns most, and a
 * field may be walked twice or by halves. Any prices give a bound; the search looks for those that give a high one.
 */
export function planBound(problem: WalkProblem, cost: PlanCost): PlanBound {
  const { tasks, shifts } = problem;
  const kinds = kindsOfShifts(problem);
  const all = [...tasks.keys()];
  const closing = all.filter((task) => tasks[task]!.closesInPlan);
  const leftOut = cost.missed + cost.left;
  const idle = shifts.reduce((sum, shift) => sum + shift.idle.metres, 0);
  const walked = all.length - leftOut;
  const metres = bestBound(problem, kinds, cost.metres, idle, true, (prices) =>
    cheapestFields(prices, tasks, walked, closing.length - cost.missed),
  );
  return {
    missed: wholeFrom(bestBound(problem, kinds, cost.missed, 0, false, fieldsWorthLeaving(closing))),
    leftOut: wholeFrom(bestBound(problem, kinds, leftOut, 0, false, fieldsWorthLeaving(all))),
    metres: wholeFrom(metres),
  };
}

/** The least whole number that a bound leaves room for. */
function wholeFrom(bound: number): number {
  return Math.max(0, Math.ceil(bound - ROUNDING));
}

/** Which fields are walked at these prices, were there no routes; and what the others cost. */
type ChooseFields = (prices: Float64Array) => { readonly walked: readonly number[]; readonly cost: number };

/**
 * The highest bound found.
 *
 * @param reached what the plan at hand costs: no bound can be higher
 * @param least a bound that is known
 * @param isDriving whether metres count, or fields alone
 */
function bestBound(
  problem: WalkProblem,
  kinds: readonly KindOfShift[],
  reached: number,
  least: number,
  isDriving: boolean,
  choose: ChooseFields,
): number {
  const count = problem.tasks.length;
  const prices = firstPrices(count, kinds, isDriving);
  let [best, pace, idleRounds, steps] = [least, 1, 0, 0];
  // Of so many fields not even one round can be waited for.
  if (kinds.reduce((sum, { open, most }) => sum + open.length ** 2 * most, 0) > MOST_STEPS)
    return Math.min(reached, least);
  for (let round = 0; round < ROUNDS && steps < MOST_STEPS && best < reached - ROUNDING; round++) {
    const slope = new Float64Array(count);
    let bound = 0;
    for (const kind of kinds) {
      const { value, visits, steps: more } = cheapestWalk(problem, kind, prices, isDriving);
      steps += more;
      bound += value * kind.times;
      for (const task of visits) slope[task]! -= kind.times;
    }
    const { walked, cost } = choose(prices);
    bound += cost;
    for (const task of walked) {
      bound += prices[task]!;
      slope[task]! += 1;
    }
    if (bound > best + ROUNDING) [best, idleRounds] = [bound, 0];
    else if (++idleRounds % PATIENCE === 0) pace /= 2;
    const length = slope.reduce((sum, one) => sum + one * one, 0);
    if (length === 0) break;
    const step = (pace * Math.max(isDriving ? 1 : ROUNDING, reached - bound)) / length;
    for (let task = 0; task < count; task++) prices[task]! += step * slope[task]!;
  }
  return Math.min(reached, best);
}

/** A start: of fields, half of what leaving one out costs; of driving, a share of the way there and back. */
function firstPrices(count: number, kinds: readonly KindOfShift[], isDriving: boolean): Float64Array {
  const prices = new Float64Array(count).fill(FIRST_PRICE);
  if (!isDriving) return prices;
  for (const { shift, open, most } of kinds)
    for (const task of open) prices[task] = (shift.out[task]!.metres + shift.back[task]!.metres) / Math.max(1, most);
  return prices;
}

/** Every field left out costs one; it is walked where its price is lower. Fields that do not count are left. */
function fieldsWorthLeaving(counted: readonly number[]): ChooseFields {
  return (prices) => {
    const isCounted = new Set(counted);
    const walked: number[] = [];
    let cost = 0;
    prices.forEach((price, task) => {
      const whenLeft = isCounted.has(task) ? 1 : 0;
      if (price < whenLeft) walked.push(task);
      else cost += whenLeft;
    });
    return { walked, cost };
  };
}

/** The cheapest choice of as many fields as are walked, as many of them closing as are. */
function cheapestFields(
  prices: Float64Array,
  tasks: WalkProblem["tasks"],
  wanted: number,
  closingWanted: number,
): ReturnType<ChooseFields> {
  const byPrice = [...tasks.keys()].sort((a, b) => prices[a]! - prices[b]! || a - b);
  const chosen = new Set(byPrice.filter((task) => tasks[task]!.closesInPlan).slice(0, closingWanted));
  for (const task of byPrice) if (chosen.size < wanted) chosen.add(task);
  return { walked: [...chosen], cost: 0 };
}

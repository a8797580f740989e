/**
 * The plan as a problem of whole numbers: which field is walked on whose day, and in which order. Times are minutes since
 * 1970-01-01T00:00 of the book's local clock, distances whole metres of road.
 */

/** A way by road. */
export interface Leg {
  readonly metres: number;
  readonly minutes: number;
}

/** One field to walk. */
export interface WalkTask {
  readonly field: string;
  /** The riskier the field the higher; a day goes from low to high. */
  readonly rank: number;
  /** From arriving to leaving, the clean-down included. */
  readonly minutes: number;
  /** Its window closes within the plan's days: left out, it is missed. */
  readonly closesInPlan: boolean;
  /** By day of the plan: the first minute at which the field may be entered; Infinity where it may not be that day. */
  readonly openFrom: readonly number[];
}

/** One day of one walker. */
export interface Shift {
  readonly walker: string;
  /** Of the plan, from 0. */
  readonly day: number;
  readonly begins: number;
  readonly ends: number;
  /** The rank of the riskiest field that the walker was on earlier that day; less risky ones are closed to them. */
  readonly leastRank: number;
  /** From the start to each task's field. */
  readonly out: readonly Leg[];
  /** From each task's field to the end of the day, errands included. */
  readonly back: readonly Leg[];
  /** What is driven where no field is walked. */
  readonly idle: Leg;
}

export interface WalkProblem {
  readonly tasks: readonly WalkTask[];
  readonly shifts: readonly Shift[];
  /** From task to task. */
  readonly between: readonly (readonly Leg[])[];
}

/** A shift's tasks in the order in which they are walked. */
export type Route = readonly number[];

/** One route for each shift; what is in none of them is left out. */
export type Routes = readonly Route[];

/** What a plan is judged by, the first figure first. */
export interface PlanCost {
  /** Fields left out whose window closes within the plan's days. */
  readonly missed: number;
  /** Other fields left out. */
  readonly left: number;
  readonly metres: number;
  /** The days that fields wait, summed: of plans that are otherwise the same the earlier one is taken. */
  readonly waited: number;
}

export interface WalkedField {
  readonly task: number;
  readonly by: Leg;
  readonly arrived: number;
  readonly left: number;
}

/** A route with its times. */
export interface WalkedRoute {
  readonly fields: readonly WalkedField[];
  readonly home: Leg;
  readonly metres: number;
  readonly ended: number;
}

/** The times of a route; undefined where it breaks the order of risk, comes to a closed field, or does not fit the day. */
export function walkRoute(problem: WalkProblem, shift: Shift, route: Route): WalkedRoute | undefined {
  const { tasks, between } = problem;
  let [now, rank, metres] = [shift.begins, shift.leastRank, 0];
  const fields: WalkedField[] = [];
  for (const [i, index] of route.entries()) {
    const task = tasks[index]!;
    const by = i === 0 ? shift.out[index]! : between[route[i - 1]!]![index]!;
    const arrived = Math.max(now + by.minutes, task.openFrom[shift.day]!);
    if (task.rank < rank || !Number.isFinite(arrived)) return undefined;
    [now, rank, metres] = [arrived + task.minutes, task.rank, metres + by.metres];
    fields.push({ task: index, by, arrived, left: now });
  }
  const last = route.at(-1);
  const home = last === undefined ? shift.idle : shift.back[last]!;
  const ended = now + home.minutes;
  if (last !== undefined && ended > shift.ends) return undefined;
  return { fields, home, metres: metres + home.metres, ended };
}

export function costOf(problem: WalkProblem, routes: Routes): PlanCost {
  let [metres, waited] = [0, 0];
  const walked = new Set<number>();
  for (const [i, shift] of problem.shifts.entries()) {
    const route = routes[i]!;
    metres += walkRoute(problem, shift, route)?.metres ?? Infinity;
    waited += route.length * shift.day;
    for (const task of route) walked.add(task);
  }
  const out = problem.tasks.filter((_, i) => !walked.has(i));
  const missed = out.filter(({ closesInPlan }) => closesInPlan).length;
  return { missed, left: out.length - missed, metres, waited };
}

/** Negative where `a` is the better plan. */
export function compareCosts(a: PlanCost, b: PlanCost): number {
  return a.missed - b.missed || a.left - b.left || a.metres - b.metres || a.waited - b.waited;
}

const waysSeen = new WeakMap<object, number>();
let ways = 0;

/** The same for shifts that are alike in all but the walker; ways that are kept as one list are the same. */
export function shiftName({ day, begins, ends, leastRank, out, back, idle }: Shift): string {
  const numbers = [out, back].map((list) => {
    const known = waysSeen.get(list) ?? ++ways;
    waysSeen.set(list, known);
    return known;
  });
  return [day, begins, ends, leastRank, idle.metres, ...numbers].join(" ");
}

import { shiftName, type Route, type Routes, type Shift, type WalkProblem } from "./walk-problem.ts";

/** Fields that fit into the bits of a set of them, and for which tables of all sets stay small. */
const MOST_TASKS = 14;
/** Steps of the table; about a second. */
const MOST_STEPS = 1.5e8;

/** A set of tasks, one bit each. */
type TaskSet = number;

interface BestRoute {
  readonly metres: number;
  readonly order: Route;
}

/**
 * The best plan there is, by dynamic programming: for each shift the least driving for every set of fields that fits it
 * (Held & Karp 1962, J. SIAM 10:196, with the times of arrival kept beside), then over the shifts for every set of fields
 * walked so far. Undefined where there are too many fields for that.
 */
export function exactPlan(problem: WalkProblem): Routes | undefined {
  const { tasks, shifts } = problem;
  if (tasks.length > MOST_TASKS) return undefined;
  const known = new Map<string, [TaskSet, BestRoute][]>();
  const options: [TaskSet, BestRoute][][] = [];
  let steps = 0;
  for (const shift of shifts) {
    const name = shiftName(shift);
    let found = known.get(name);
    if (!found) known.set(name, (found = [...bestRoutes(problem, shift)]));
    options.push(found);
    steps += found.length * 2 ** tasks.length;
    if (steps > MOST_STEPS) return undefined;
  }
  return fillShifts(problem, options);
}

interface Label {
  readonly time: number;
  readonly metres: number;
  readonly last: number;
  readonly before: Label | undefined;
}

/** For every set of fields that one shift can walk, the order with the least driving; of several, the first to end. */
function bestRoutes(problem: WalkProblem, shift: Shift): Map<TaskSet, BestRoute> {
  const { tasks, between } = problem;
  const best = new Map<TaskSet, BestRoute>();
  const ends = new Map<TaskSet, number>();
  let labels = new Map<TaskSet, Label[]>();
  const grow = (grown: Map<TaskSet, Label[]>, set: TaskSet, before: Label | undefined, next: number): void => {
    const task = tasks[next]!;
    if (task.rank < (before ? tasks[before.last]!.rank : shift.leastRank)) return;
    const leg = before ? between[before.last]![next]! : shift.out[next]!;
    const arrived = Math.max((before?.time ?? shift.begins) + leg.minutes, task.openFrom[shift.day]!);
    const label = { time: arrived + task.minutes, metres: (before?.metres ?? 0) + leg.metres, last: next, before };
    // Whether the way back still fits is asked where the route ends: it may be shorter from the next field.
    if (label.time > shift.ends) return;
    const into = set | (1 << next);
    const fellows = grown.get(into) ?? [];
    const isWorse = fellows.some((one) => one.last === next && one.time <= label.time && one.metres <= label.metres);
    if (isWorse) return;
    const kept = fellows.filter((one) => one.last !== next || one.time < label.time || one.metres < label.metres);
    grown.set(into, [...kept, label]);
  };
  for (let size = 0; size < tasks.length; size++) {
    const grown = new Map<TaskSet, Label[]>();
    const sets: Iterable<[TaskSet, readonly (Label | undefined)[]]> = size === 0 ? [[0, [undefined]]] : labels;
    for (const [set, fellows] of sets)
      for (const before of fellows)
        for (let next = 0; next < tasks.length; next++) if (!(set & (1 << next))) grow(grown, set, before, next);
    for (const [set, fellows] of grown) {
      for (const label of fellows) {
        const home = shift.back[label.last]!;
        const [metres, end] = [label.metres + home.metres, label.time + home.minutes];
        if (end > shift.ends) continue;
        const known = best.get(set);
        if (known && (known.metres < metres || (known.metres === metres && ends.get(set)! <= end))) continue;
        best.set(set, { metres, order: orderOf(label) });
        ends.set(set, end);
      }
    }
    labels = grown;
  }
  return best;
}

function orderOf(label: Label | undefined): Route {
  const order: number[] = [];
  for (let at = label; at; at = at.before) order.unshift(at.last);
  return order;
}

/** For every set of fields the least driving with which the shifts walk just these; then the best of the sets. */
function fillShifts(problem: WalkProblem, options: readonly (readonly [TaskSet, BestRoute][])[]): Routes {
  const { tasks, shifts } = problem;
  const sets = 2 ** tasks.length;
  // Metres first, then the days waited, as one number.
  const scale = 1 + tasks.length * Math.max(0, ...shifts.map(({ day }) => day));
  let costs = new Float64Array(sets).fill(Infinity);
  costs[0] = 0;
  const chosen: Int32Array[] = [];
  for (const [i, shift] of shifts.entries()) {
    const after = costs.map((cost) => cost + shift.idle.metres * scale);
    const choice = new Int32Array(sets).fill(-1);
    options[i]!.forEach(([set, { metres, order }], option) => {
      const cost = metres * scale + order.length * shift.day;
      for (let walked = 0; walked < sets; walked++) {
        if (walked & set || costs[walked] === Infinity) continue;
        const total = costs[walked]! + cost;
        if (total >= after[walked | set]!) continue;
        after[walked | set] = total;
        choice[walked | set] = option;
      }
    });
    costs = after;
    chosen.push(choice);
  }
  const closing = tasks.reduce((set, { closesInPlan }, i) => (closesInPlan ? set | (1 << i) : set), 0);
  let best = 0;
  for (let set = 1; set < sets; set++) {
    if (costs[set] === Infinity) continue;
    const more = bits(set & closing) - bits(best & closing) || bits(set) - bits(best);
    if (more > 0 || (more === 0 && costs[set]! < costs[best]!)) best = set;
  }
  const routes: Route[] = shifts.map(() => []);
  for (let i = shifts.length - 1, set = best; i >= 0; i--) {
    const option = chosen[i]![set]!;
    if (option < 0) continue;
    const [walked, { order }] = options[i]![option]!;
    routes[i] = order;
    set &= ~walked;
  }
  return routes;
}

function bits(set: TaskSet): number {
  let count = 0;
  for (let rest = set; rest; rest &= rest - 1) count++;
  return count;
}

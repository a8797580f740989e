import { shiftName, type Shift, type WalkProblem } from "./walk-problem.ts";

/** Shifts that are alike in everything that a bound asks of them. */
export interface KindOfShift {
  readonly shift: Shift;
  readonly times: number;
  /** The fields that one of them could walk alone, in the order of risk. */
  readonly open: readonly number[];
  /** Fields that fit into the day at most. */
  readonly most: number;
}

export function kindsOfShifts(problem: WalkProblem): KindOfShift[] {
  const { tasks, shifts } = problem;
  const known = new Map<string, KindOfShift>();
  for (const shift of shifts) {
    const { day, begins, ends, leastRank, out, back } = shift;
    const open = [...tasks.keys()].filter((index) => {
      const { rank, openFrom, minutes } = tasks[index]!;
      const arrived = Math.max(begins + out[index]!.minutes, openFrom[day]!);
      return rank >= leastRank && arrived + minutes + back[index]!.minutes <= ends;
    });
    open.sort((a, b) => tasks[a]!.rank - tasks[b]!.rank || a - b);
    const name = shiftName(shift);
    const times = (known.get(name)?.times ?? 0) + 1;
    known.set(name, { shift, open, most: mostFields(problem, shift, open), times });
  }
  return [...known.values()];
}

/** By the shortest fields, each with the shortest way to it. */
function mostFields({ tasks, between }: WalkProblem, shift: Shift, open: readonly number[]): number {
  const needs = open.map((task) => {
    const ways = open.filter((from) => from !== task).map((from) => between[from]![task]!.minutes);
    return tasks[task]!.minutes + Math.min(shift.out[task]!.minutes, ...ways);
  });
  let time = shift.ends - shift.begins - Math.min(Infinity, ...open.map((task) => shift.back[task]!.minutes));
  let most = 0;
  for (const minutes of needs.sort((a, b) => a - b)) if ((time -= minutes) >= 0) most++;
  return most;
}

/** A route that may come to a field twice; none is both cheaper and earlier that ends at the same field. */
interface Walk {
  readonly time: number;
  readonly cost: number;
  readonly at: number;
  readonly before: Walk | undefined;
}

/**
 * The route that costs least once each field on it has paid its price; none, where none pays. It keeps to the order of risk and
 * to the times; that it may come to a field a second time makes it cheaper than any real one, and quick to find.
 *
 * @returns steps: how much work it was
 */
export function cheapestWalk(
  { tasks, between }: WalkProblem,
  { shift, open, most }: KindOfShift,
  prices: Float64Array,
  isDriving: boolean,
): { readonly value: number; readonly visits: readonly number[]; readonly steps: number } {
  const factor = isDriving ? 1 : 0;
  let value = shift.idle.metres * factor;
  let best: Walk | undefined;
  let steps = open.length;
  const end = (walk: Walk): void => {
    const back = shift.back[walk.at]!;
    const cost = walk.cost + back.metres * factor;
    if (cost < value && walk.time + back.minutes <= shift.ends) [value, best] = [cost, walk];
  };
  let walks: Walk[][] = open.map((at) => {
    const { minutes, openFrom } = tasks[at]!;
    const time = Math.max(shift.begins + shift.out[at]!.minutes, openFrom[shift.day]!) + minutes;
    const walk = { time, cost: shift.out[at]!.metres * factor - prices[at]!, at, before: undefined };
    end(walk);
    return [walk];
  });
  for (let size = 2; size <= most; size++) {
    const isLast = size === most;
    const longer: Walk[][] = open.map(() => []);
    for (let to = 0; to < open.length; to++) {
      const at = open[to]!;
      const { rank, minutes, openFrom } = tasks[at]!;
      const back = shift.back[at]!;
      const latest = shift.ends - minutes - (isLast ? back.minutes : 0);
      const opens = openFrom[shift.day]!;
      const fellows = longer[to]!;
      for (let from = 0; from < open.length && tasks[open[from]!]!.rank <= rank; from++) {
        if (from === to) continue;
        const leg = between[open[from]!]![at]!;
        const added = leg.metres * factor - prices[at]!;
        for (const before of walks[from]!) {
          steps++;
          const arrived = Math.max(before.time + leg.minutes, opens);
          if (arrived > latest) continue;
          const cost = before.cost + added;
          // A walk that cannot be gone on with is looked at once, and not kept.
          if (isLast && cost + back.metres * factor >= value) continue;
          const walk = { time: arrived + minutes, cost, at, before };
          if (isLast) end(walk);
          else addUnlessWorse(fellows, walk);
        }
      }
      fellows.forEach(end);
    }
    walks = longer;
  }
  const visits: number[] = [];
  for (let walk = best; walk; walk = walk.before) visits.push(walk.at);
  return { value, visits, steps };
}

function addUnlessWorse(fellows: Walk[], walk: Walk): void {
  let kept = 0;
  for (const one of fellows) {
    if (one.time <= walk.time && one.cost <= walk.cost) return;
    if (one.time < walk.time || one.cost < walk.cost) fellows[kept++] = one;
  }
  fellows.length = kept;
  fellows.push(walk);
}

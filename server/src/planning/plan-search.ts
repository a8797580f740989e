import { random } from "./pseudo-random.ts";
import {
  compareCosts,
  walkRoute,
  type PlanCost,
  type Route,
  type Routes,
  type Shift,
  type WalkProblem,
} from "./walk-problem.ts";

/** Routes tried by one search; some seconds at most. */
const MOST_TRIALS = 8_000_000;
/** Looking a place up that is known already is work too. */
const TRIAL_PER_LOOK = 0.01;
/** Rounds without a better plan after which the search gives up. */
const MOST_IDLE_ROUNDS = 2000;
const IDLE_ROUNDS_PER_FIELD = 40;
/** In which order fields are put in: more than one, so that no round is like the one before. */
const ORDERS = ["regret", "shortest", "any"] as const;
/** More than any regret in metres. */
const ONLY_PLACE = 1e9;
const FIRST_OF_ALL = 1e12;
const ANY = 1e6;
/** A plan with so much more driving than the best may still be gone on from. */
const DRIVING_ALLOWED = 1.01;

/**
 * A good plan where the best cannot be had: large neighbourhood search. Fields are put in one after the other, first the one
 * whose second-best place is so much worse than its best; then, time and again, some are taken out (neighbours on the map, or
 * whole days) and put back in that way. A plan that drives a little more than the best is gone on from
 * (record-to-record travel).
 *
 * Shaw 1998, LNCS 1520:417; Ropke & Pisinger 2006, Transportation Science 40:455; Dueck 1993, J. Comput. Phys. 104:86.
 * It stops after a count of trials and never asks a clock: the same book gives the same plan.
 */
export function searchPlan(problem: WalkProblem): Routes {
  const search = new PlanSearch(problem);
  search.fill();
  let best = search.state();
  let current = best;
  const patience = Math.min(MOST_IDLE_ROUNDS, IDLE_ROUNDS_PER_FIELD * problem.tasks.length);
  for (let idle = 0; idle < patience && search.trials < MOST_TRIALS; idle++) {
    search.takeOut();
    search.fill();
    const found = search.state();
    if (compareCosts(found.cost, best.cost) < 0) {
      best = current = found;
      idle = 0;
    } else if (isNear(found.cost, best.cost)) current = found;
    else search.restore(current);
  }
  return best.routes;
}

interface SearchState {
  readonly routes: Routes;
  readonly cost: PlanCost;
}

function isNear(cost: PlanCost, best: PlanCost): boolean {
  return cost.missed === best.missed && cost.left === best.left && cost.metres <= best.metres * DRIVING_ALLOWED;
}

/** Where a task fits into a shift, and what that costs. */
interface Place {
  readonly at: number;
  readonly metres: number;
  readonly day: number;
}

class PlanSearch {
  readonly #problem: WalkProblem;
  readonly #random = random(20250101);
  #routes: number[][];
  #metres: number[];
  #out: Set<number>;
  /** By shift and task, of the tasks that are out: undefined where not yet asked, null where there is no place. */
  #places: (Place | null | undefined)[][];
  trials = 0;

  constructor(problem: WalkProblem) {
    this.#problem = problem;
    this.#routes = problem.shifts.map(() => []);
    this.#metres = problem.shifts.map(({ idle }) => idle.metres);
    this.#out = new Set(problem.tasks.keys());
    this.#places = problem.shifts.map(() => []);
  }

  state(): SearchState {
    const { tasks, shifts } = this.#problem;
    const missed = [...this.#out].filter((task) => tasks[task]!.closesInPlan).length;
    const metres = this.#metres.reduce((sum, one) => sum + one, 0);
    const waited = this.#routes.reduce((sum, route, i) => sum + route.length * shifts[i]!.day, 0);
    const cost = { missed, left: this.#out.size - missed, metres, waited };
    return { routes: this.#routes.map((route) => [...route]), cost };
  }

  restore({ routes }: SearchState): void {
    const out = new Set(this.#problem.tasks.keys());
    routes.forEach((route, shift) => {
      for (const task of route) out.delete(task);
      if (route.join() !== this.#routes[shift]!.join()) this.#setRoute(shift, [...route]);
    });
    this.#out = out;
  }

  /** Puts in whatever still fits. */
  fill(): void {
    const { tasks } = this.#problem;
    const order = ORDERS[this.#random(ORDERS.length)]!;
    for (;;) {
      let chosen: { task: number; shift: number; urgency: number } | undefined;
      for (const task of this.#out) {
        const best = this.#bestPlace(task);
        if (!best) continue;
        // What must be walked now or never comes first; then what has nowhere else to go.
        const urgency = (tasks[task]!.closesInPlan ? FIRST_OF_ALL : 0) + this.#urgency(task, best.regret, order);
        if (!chosen || urgency > chosen.urgency) chosen = { task, shift: best.shift, urgency };
      }
      if (!chosen) return;
      const { task, shift } = chosen;
      const place = this.#places[shift]![task]!;
      this.#out.delete(task);
      this.#setRoute(shift, this.#routes[shift]!.toSpliced(place.at, 0, task));
    }
  }

  #urgency(task: number, regret: number, order: (typeof ORDERS)[number]): number {
    if (order === "regret") return regret;
    // A field with a single place left is put there before others take it; of the rest the shortest go first, or any.
    const isLast = regret === ONLY_PLACE ? ONLY_PLACE : 0;
    return isLast + (order === "shortest" ? -this.#problem.tasks[task]!.minutes : this.#random(ANY));
  }

  /** Takes out some fields that lie near one another, or some whole days. */
  takeOut(): void {
    const { tasks, shifts, between } = this.#problem;
    const walked = this.#routes.flat();
    if (walked.length === 0) return;
    const count = Math.max(2, Math.min(walked.length, 2 + this.#random(Math.ceil(Math.min(30, walked.length / 4)))));
    const taken = new Set<number>();
    if (this.#random(2) === 0) {
      const from = this.#random(tasks.length);
      const near = walked.sort((a, b) => between[from]![a]!.metres - between[from]![b]!.metres || a - b);
      // Mostly the nearest, with gaps, so that no two rounds are the same.
      for (const task of near) if (taken.size < count && this.#random(4) > 0) taken.add(task);
    } else {
      const busy = [...shifts.keys()].filter((shift) => this.#routes[shift]!.length > 0);
      while (taken.size < count && busy.length > 0) {
        const [shift] = busy.splice(this.#random(busy.length), 1);
        for (const task of this.#routes[shift!]!) taken.add(task);
      }
    }
    this.#routes.forEach((route, shift) => {
      if (!route.some((task) => taken.has(task))) return;
      this.#setRoute(
        shift,
        route.filter((task) => !taken.has(task)),
      );
    });
    for (const task of taken) this.#out.add(task);
  }

  #setRoute(shift: number, route: number[]): void {
    const { shifts } = this.#problem;
    this.#routes[shift] = route;
    // A route without one of its fields may drive longer, and then end too late; it is emptied and filled anew.
    const walked = walkRoute(this.#problem, shifts[shift]!, route);
    if (!walked) {
      for (const task of route) this.#out.add(task);
      this.#routes[shift] = [];
    }
    this.#metres[shift] = walked?.metres ?? shifts[shift]!.idle.metres;
    this.#places[shift] = [];
  }

  #bestPlace(task: number): { shift: number; regret: number } | undefined {
    this.trials += this.#routes.length * TRIAL_PER_LOOK;
    let first: (Place & { shift: number }) | undefined;
    let second: Place | undefined;
    for (let shift = 0; shift < this.#routes.length; shift++) {
      const known = this.#places[shift]![task];
      const place = known === undefined ? (this.#places[shift]![task] = this.#placeIn(shift, task)) : known;
      if (!place) continue;
      if (!first || comparePlaces(place, first) < 0) [first, second] = [{ ...place, shift }, first];
      else if (!second || comparePlaces(place, second) < 0) second = place;
    }
    return first && { shift: first.shift, regret: second ? second.metres - first.metres : ONLY_PLACE };
  }

  #placeIn(index: number, task: number): Place | null {
    const shift = this.#problem.shifts[index]!;
    const { rank, openFrom } = this.#problem.tasks[task]!;
    const { tasks } = this.#problem;
    if (rank < shift.leastRank || openFrom[shift.day] === Infinity) return null;
    const route: Route = this.#routes[index]!;
    let best: Place | null = null;
    for (let at = 0; at <= route.length; at++) {
      if (at > 0 && tasks[route[at - 1]!]!.rank > rank) break;
      if (at < route.length && tasks[route[at]!]!.rank < rank) continue;
      this.trials++;
      const metres = metresWith(this.#problem, shift, route, at, task);
      if (metres === Infinity) continue;
      const place = { at, metres: metres - this.#metres[index]!, day: shift.day };
      if (!best || comparePlaces(place, best) < 0) best = place;
    }
    return best;
  }
}

/** The driving of a route with one more field at a place in it, without making that route; Infinity where it breaks a rule. */
function metresWith({ tasks, between }: WalkProblem, shift: Shift, route: Route, at: number, added: number): number {
  let [now, metres, before] = [shift.begins, 0, -1];
  for (let i = 0; i <= route.length; i++) {
    const next = i < at ? route[i]! : i === at ? added : route[i - 1]!;
    const leg = before < 0 ? shift.out[next]! : between[before]![next]!;
    const { minutes, openFrom } = tasks[next]!;
    now = Math.max(now + leg.minutes, openFrom[shift.day]!) + minutes;
    metres += leg.metres;
    if (now > shift.ends) return Infinity;
    before = next;
  }
  const home = shift.back[before]!;
  return now + home.minutes > shift.ends ? Infinity : metres + home.metres;
}

function comparePlaces(a: Place, b: Place): number {
  return a.metres - b.metres || a.day - b.day;
}

import { clusteredDetection, stopsNeeded } from "../agronomy/clustering.ts";
import {
  freedomChain,
  morePlantsForFreedom,
  probabilityOfIntroduction,
  type Introduction,
  type SeasonOfFreedom,
} from "../agronomy/freedom.ts";
import { probabilityOfDetection } from "../agronomy/plants.ts";
import { infestedArrivals, type InfestedArrival, type InfestedGround } from "../soil/infested-arrivals.ts";
import type { SoilTimeline } from "../soil/soil-timeline.ts";
import type { Book } from "./book.ts";
import { plantsWithGalls, type FieldHistory, type FieldVisit } from "./field-history.ts";
import { isCleared } from "./field-status.ts";
import { samplingGoal, type SamplingGoal } from "./sampling-goal.ts";
import { seasonScouting } from "./scouting-window.ts";

/** One line of the account: soil that came, then plants that were dug clean. */
export interface FreedomTerm extends SeasonOfFreedom {
  /** Plants rated by the season's scouting visits, stop by stop; none in a line of soil that came after the last digs. */
  readonly plantsPerStop: readonly number[];
  /** Since the last digs before, up to these; in order of time. */
  readonly arrivals: readonly InfestedArrival[];
  readonly broughtIn: Introduction;
}

/** The probability that a field is free of clubroot at the book's design incidence. Decision support, not proof. */
export interface FieldFreedom {
  /** 0 to 1, on the book's as-of day. */
  readonly probabilityFree: number;
  /** The region's figure for a field nothing is known of, 0 to 1. */
  readonly priorInfested: number;
  readonly introductionPerCarriage: number;
  readonly goal: SamplingGoal;
  /** The region's intra-cluster correlation of infected plants at a stop; undefined: plants count one by one. */
  readonly correlation: number | undefined;
  readonly terms: readonly FreedomTerm[];
  /** More plants that, dug clean, raise it to the book's confidence; undefined where no digging can. */
  readonly morePlants: number | undefined;
}

/**
 * Follows a field from the region's prior through what its records say: every arrival of soil from infested ground, and every
 * season's scouting digs. A dig is a stop whose plants are alike, save one along the route, which is a walk of stops as the
 * region's survey has them. Plants without ratings prove nothing, nor do plants dug before the scouting window opened.
 *
 * Undefined for a field that is confirmed, or had galls that no lab has cleared, and where the region or the book lacks a
 * figure.
 */
export function fieldFreedom(field: FieldHistory, book: Book): FieldFreedom | undefined {
  const { prior_infested: priorInfested, introduction_per_carriage: perCarriage } = book.region.freedom ?? {};
  const goal = samplingGoal(book);
  if (field.confirmed || !goal || priorInfested === undefined || perCarriage === undefined) return undefined;
  // Without it no field's soil is followed, and that nothing came is not known.
  if (book.region.trace?.look_back_days === undefined) return undefined;
  if (hadGalls(field)) return undefined;
  const correlation = book.region.sampling?.clustering_correlation;
  const lines: Omit<FreedomTerm, "priorInfested" | "probabilityFree">[] = [];
  for (const { season, plantsPerStop, arrivals } of accountOf(field, book)) {
    const detection = detectionOf(plantsPerStop, goal, correlation);
    const broughtIn = probabilityOfIntroduction(
      arrivals.map(({ soilLeft }) => ({ shareOfSoilLeft: soilLeft })),
      perCarriage,
    );
    if (detection === undefined || !broughtIn.ok) return undefined;
    const introduction = broughtIn.value.probability;
    lines.push({ season, plantsPerStop, arrivals, broughtIn: broughtIn.value, introduction, detection });
  }
  const chain = freedomChain(priorInfested, lines);
  if (!chain.ok) return undefined;
  const { probabilityFree, seasons } = chain.value;
  return {
    probabilityFree,
    priorInfested,
    introductionPerCarriage: perCarriage,
    goal,
    correlation,
    terms: lines.map((line, i) => ({ ...line, ...seasons[i]! })),
    morePlants: morePlants(1 - probabilityFree, goal, correlation, book.region.scouting?.plants_per_stop),
  };
}

interface AccountLine {
  readonly season: number;
  readonly plantsPerStop: readonly number[];
  readonly arrivals: readonly InfestedArrival[];
}

/** Season by season the soil that came before its last digs and the plants dug; at the end the soil that came after them. */
function accountOf(field: FieldHistory, book: Book): AccountLine[] {
  const arrivals = arrivalsOf(book).get(field.id) ?? [];
  const lastDug = new Map<number, FieldVisit>();
  const stops = new Map<number, number[]>();
  for (const visit of field.visits) {
    const counts = visit.isScouting && !isTooEarly(visit, field, book);
    const plants = counts ? cleanStops(visit, book.region.scouting?.plants_per_stop) : [];
    if (plants.length === 0) continue;
    lastDug.set(visit.year, visit);
    stops.set(visit.year, [...(stops.get(visit.year) ?? []), ...plants]);
  }
  let counted = 0;
  const lines: AccountLine[] = [...lastDug].map(([season, { arrived }]) => {
    // What the scouts themselves brought in on their last visit could not be found on it.
    const first = counted;
    while (counted < arrivals.length && arrivals[counted]!.carriage.arrived < arrived) counted++;
    return { season, plantsPerStop: stops.get(season) ?? [], arrivals: arrivals.slice(first, counted) };
  });
  if (counted < arrivals.length) {
    lines.push({ season: book.seasonOfDay(book.asOf), plantsPerStop: [], arrivals: arrivals.slice(counted) });
  }
  return lines;
}

/** Before the window of the year's host crop opens, galls may still be too small to see. */
function isTooEarly(visit: FieldVisit, field: FieldHistory, book: Book): boolean {
  const window = seasonScouting(field, visit.year, book)?.window;
  return window !== undefined && visit.day < window.opens;
}

/** More plants than this in one dig are a slip of the keyboard. */
const MOST_PLANTS_OF_A_DIG = 9_999;

/** The plants rated at each stop of a visit. */
function cleanStops(visit: FieldVisit, plantsPerStop: number | undefined): number[] {
  return visit.digs.flatMap(({ place, ratings }) => {
    const plants = sumOf(ratings ?? []);
    if (plants === 0 || plants > MOST_PLANTS_OF_A_DIG) return [];
    if (place !== "along the route" || plantsPerStop === undefined || plantsPerStop < 1) return [plants];
    const full = Math.floor(plants / plantsPerStop);
    const rest = plants - full * plantsPerStop;
    return [...Array.from({ length: full }, () => plantsPerStop), ...(rest > 0 ? [rest] : [])];
  });
}

function hadGalls(field: FieldHistory): boolean {
  return field.visits.some((visit) =>
    visit.digs.some((dig) => plantsWithGalls(dig) > 0 && !isCleared(field, visit.record.id, dig.id)),
  );
}

function detectionOf(
  plantsPerStop: readonly number[],
  { designIncidence: incidence, rootSensitivity: sensitivity }: SamplingGoal,
  correlation: number | undefined,
): number | undefined {
  if (correlation === undefined) {
    const found = probabilityOfDetection({ incidence, sensitivity }, sumOf(plantsPerStop));
    return found.ok ? found.value : undefined;
  }
  // Most stops are of the same few sizes, and each size is reckoned once.
  const stopsOfSize = new Map<number, number>();
  for (const stop of plantsPerStop) stopsOfSize.set(stop, (stopsOfSize.get(stop) ?? 0) + 1);
  let miss = 1;
  for (const [size, stops] of stopsOfSize) {
    const found = clusteredDetection({ incidence, correlation, sensitivity }, [size]);
    if (!found.ok) return undefined;
    miss *= (1 - found.value) ** stops;
  }
  return 1 - miss;
}

function sumOf(counts: readonly number[]): number {
  return counts.reduce((sum, count) => sum + count, 0);
}

/** With clustering in whole stops of the region's survey, else plant by plant. */
function morePlants(
  infested: number,
  { confidence, designIncidence: incidence, rootSensitivity: sensitivity }: SamplingGoal,
  correlation: number | undefined,
  plantsPerStop: number | undefined,
): number | undefined {
  const looking = { incidence, sensitivity };
  const more = morePlantsForFreedom(infested, confidence, 0, looking);
  if (!more.ok) return undefined;
  const { plants, detectionNeeded } = more.value;
  if (plants === 0 || correlation === undefined || plantsPerStop === undefined) return plants;
  const stops = stopsNeeded({ ...looking, correlation }, plantsPerStop, detectionNeeded);
  return stops.ok ? stops.value.plants : undefined;
}

/** Worked out once for as long as the soil's movements stay as they are. */
const arrivalsOfMovements = new WeakMap<SoilTimeline, ReadonlyMap<string, readonly InfestedArrival[]>>();

function arrivalsOf(book: Book): ReadonlyMap<string, readonly InfestedArrival[]> {
  const soil = book.soil();
  let arrivals = arrivalsOfMovements.get(soil.timeline);
  if (!arrivals) {
    const ground = new Map<string, InfestedGround>();
    for (const { field, arrived, soilLeft } of soil.exposed.values()) {
      ground.set(field, { since: arrived, share: soilLeft });
    }
    for (const { field, infestedFrom } of soil.confirmed.values()) ground.set(field, { since: infestedFrom, share: 1 });
    arrivalsOfMovements.set(soil.timeline, (arrivals = infestedArrivals(soil.timeline, ground)));
  }
  return arrivals;
}

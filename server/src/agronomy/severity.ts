/**
 * How bad it is: incidence, disease severity index (DSI), their intervals, and the yield at stake.
 *
 * Sources: DSI after Horsfall & Heuberger 1942 and Strelkov et al. 2006 (from memory) on the root scale of Kuginuki
 * et al. 1999 (from memory). The slopes of yield loss come from the region pack, each with its source.
 *
 * Ratings are counts of plants, one for each class of the scale from 0 (no galls) up; percentages run from 0 to 100.
 */
import {
  amountProblem,
  calculated,
  cannot,
  countProblem,
  finiteProblem,
  firstProblem,
  percentText,
  shareProblem,
  type Calculated,
} from "./calculated.ts";
import { clopperPearson, wilson, type Interval } from "./interval.ts";

export interface Severity {
  readonly plants: number;
  /** Plants rated above 0. */
  readonly infected: number;
  readonly incidencePercent: number;
  readonly dsiPercent: number;
}

/**
 * DSI % = Σ(rating · plants) / (highest rating · all plants) · 100; incidence % = plants above 0 / all plants · 100.
 * Errors: no plants; a scale of fewer than two classes; counts that are not whole.
 */
export function severity(ratings: readonly number[]): Calculated<Severity> {
  const problem = ratingsProblem(ratings);
  if (problem !== undefined) return cannot(problem);
  const plants = ratings.reduce((sum, count) => sum + count, 0);
  if (plants === 0) return cannot("No plants were rated, so there is no severity to work out.");
  const infected = plants - ratings[0]!;
  const points = ratings.reduce((sum, count, rating) => sum + rating * count, 0);
  return calculated({
    plants,
    infected,
    incidencePercent: (infected / plants) * 100,
    dsiPercent: (points / ((ratings.length - 1) * plants)) * 100,
  });
}

export interface SeverityIntervals {
  /** In percent. */
  readonly incidence: { readonly clopperPearson: Interval; readonly wilson: Interval };
  /** In percent. */
  readonly dsi: { readonly clopperPearson: Interval; readonly wilson: Interval };
}

/**
 * Intervals for incidence and DSI, in percent, at a confidence from 0 to 1.
 *
 * The DSI is no proportion, but the mean of proportions: of the plants rated 1 or more, 2 or more, up to the highest.
 * Its interval is the mean of theirs, each taken at 1 − (1 − confidence)/classes so that together they hold
 * (Bonferroni). With exact intervals it holds at least as often as the confidence says; it errs on the wide side.
 */
export function severityIntervals(ratings: readonly number[], confidence: number): Calculated<SeverityIntervals> {
  const found = severity(ratings);
  if (!found.ok) return found;
  const problem = shareProblem("confidence", confidence);
  if (problem !== undefined) return cannot(problem);
  const { plants, infected } = found.value;
  const classes = ratings.length - 1;
  const shared = 1 - (1 - confidence) / classes;
  const atLeast = ratings.map((_, rating) => ratings.slice(rating).reduce((sum, count) => sum + count, 0)).slice(1);
  const dsi = (method: typeof wilson): Interval => {
    const parts = atLeast.map((count) => method(count, plants, shared));
    return {
      lower: (parts.reduce((sum, part) => sum + part.lower, 0) / classes) * 100,
      upper: (parts.reduce((sum, part) => sum + part.upper, 0) / classes) * 100,
    };
  };
  return calculated({
    incidence: {
      clopperPearson: inPercent(clopperPearson(infected, plants, confidence)),
      wilson: inPercent(wilson(infected, plants, confidence)),
    },
    dsi: { clopperPearson: dsi(clopperPearson), wilson: dsi(wilson) },
  });
}

export interface RatedDig {
  /** Where on the field: entrance, patch, along the route, … */
  readonly place: string;
  readonly ratings: readonly number[];
}

export interface SeverityByPlace {
  /** In the order in which the places first occur; places without plants are left out. */
  readonly places: readonly (Severity & { readonly place: string; readonly ratings: readonly number[] })[];
  /** All plants together. Patches were dug because they looked sick, so this is above the field's own mean. */
  readonly pooled: Severity & { readonly ratings: readonly number[] };
}

/** Errors: no plants at all; digs rated on scales of different length; counts that are not whole. */
export function severityByPlace(digs: readonly RatedDig[]): Calculated<SeverityByPlace> {
  const problem = firstProblem(...digs.map((dig) => ratingsProblem(dig.ratings)));
  if (problem !== undefined) return cannot(problem);
  const classes = digs[0]?.ratings.length ?? 0;
  if (digs.some((dig) => dig.ratings.length !== classes)) {
    return cannot("The digs were rated on scales of different length, so they cannot be put together.");
  }
  const totals = new Map<string, number[]>();
  const all = new Array<number>(classes).fill(0);
  for (const dig of digs) {
    const sum = totals.get(dig.place) ?? new Array<number>(classes).fill(0);
    totals.set(dig.place, sum);
    dig.ratings.forEach((count, rating) => {
      sum[rating]! += count;
      all[rating]! += count;
    });
  }
  const pooled = severity(all.length > 0 ? all : [0, 0]);
  if (!pooled.ok) return pooled;
  const places = [...totals].flatMap(([place, ratings]) => {
    const found = severity(ratings);
    return found.ok ? [{ place, ratings, ...found.value }] : [];
  });
  return calculated({ places, pooled: { ratings: all, ...pooled.value } });
}

/** Percent of yield lost for each percent of incidence or DSI, as one source found it. */
export interface YieldLossSlope {
  readonly lossPerPercent: number;
  readonly of: "incidence" | "dsi";
  readonly source: string;
}

export interface YieldLossRange {
  readonly lowPercent: number;
  readonly highPercent: number;
  readonly bySlope: readonly { readonly slope: YieldLossSlope; readonly lossPercent: number }[];
}

/**
 * Yield loss as the range over what the sources found, in percent of the yield, at most 100. Never one number, as the
 * sources disagree. Errors: no slope; a slope below 0; percentages outside 0–100.
 */
export function yieldLossRange(
  found: Pick<Severity, "incidencePercent" | "dsiPercent">,
  slopes: readonly YieldLossSlope[],
): Calculated<YieldLossRange> {
  const problem = firstProblem(
    shareProblem("incidence", found.incidencePercent / 100),
    shareProblem("disease severity index", found.dsiPercent / 100),
    ...slopes.map((slope) => amountProblem("yield loss for each percent", slope.lossPerPercent, true)),
  );
  if (problem !== undefined) return cannot(problem);
  if (slopes.length === 0) return cannot("The region names no figure for yield loss, so none can be worked out.");
  const bySlope = slopes.map((slope) => {
    const percent = slope.of === "incidence" ? found.incidencePercent : found.dsiPercent;
    return { slope, lossPercent: Math.min(100, slope.lossPerPercent * percent) };
  });
  const losses = bySlope.map((one) => one.lossPercent);
  return calculated({ lowPercent: Math.min(...losses), highPercent: Math.max(...losses), bySlope });
}

/** Where a trial's labels part, in percent of the susceptible check's index. */
export interface ResistanceLimits {
  readonly resistantBelow: number;
  readonly susceptibleFrom: number;
  /** The check's own index must be above this, in percent, for the trial to count. */
  readonly checkIndexAbove: number;
}

/** A variety's label from its index and the susceptible check's, both in percent. Errors: a trial that cannot count. */
export function resistanceLabel(
  indexPercent: number,
  checkIndexPercent: number,
  limits: ResistanceLimits,
): Calculated<{ percentOfCheck: number; label: "resistant" | "intermediate" | "susceptible" }> {
  const problem = firstProblem(
    shareProblem("variety's index", indexPercent / 100),
    shareProblem("check's index", checkIndexPercent / 100),
    ...Object.values(limits).map((limit: number) => finiteProblem("limit of a resistance label", limit)),
  );
  if (problem !== undefined) return cannot(problem);
  const percentOfCheck = (indexPercent / checkIndexPercent) * 100;
  if (!Number.isFinite(percentOfCheck) || checkIndexPercent <= limits.checkIndexAbove) {
    return cannot(
      `The susceptible check reached an index of ${percentText(checkIndexPercent / 100)} only; ` +
        `a trial counts above ${percentText(limits.checkIndexAbove / 100)}.`,
    );
  }
  const label =
    percentOfCheck < limits.resistantBelow
      ? "resistant"
      : percentOfCheck < limits.susceptibleFrom
        ? "intermediate"
        : "susceptible";
  return calculated({ percentOfCheck, label });
}

function ratingsProblem(ratings: readonly number[]): string | undefined {
  if (ratings.length < 2) return "The ratings must give a count of plants for each class of the scale, from 0 up.";
  return firstProblem(...ratings.map((count, rating) => countProblem(`number of plants rated ${rating}`, count)));
}

function inPercent(interval: Interval): Interval {
  return { lower: interval.lower * 100, upper: interval.upper * 100 };
}

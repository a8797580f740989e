/**
 * When the crop reaches a stage: the degree days since seeding, over the recorded weather and then the mean of the
 * years recorded. The figures (base, degree days by BBCH stage, least share of days recorded) are the region pack's.
 *
 * A day of this season that was not recorded counts as the mean of the years that recorded it; where none did, it lies
 * on a straight line between the days around it. The result says how many of each.
 */
import { civilDate, dayNumber, formatDay, yearOfDay } from "../base/days.ts";
import { amountProblem, calculated, cannot, firstProblem, numberText, type Calculated } from "./calculated.ts";
import { dayProblem, type DegreeDayRecord } from "./degree-days.ts";

export interface CropSeason {
  /** The day of seeding, see `base/days.ts`; it counts as the first day of the sum. */
  readonly seeded: number;
  readonly weather: DegreeDayRecord;
}

export interface ForecastDay {
  /** The first day on which the sum since seeding reaches the figure. */
  readonly day: number;
  /** Of the days from seeding to it: recorded this season, filled from the mean year, on a straight line. */
  readonly daysRecorded: number;
  readonly daysFromMean: number;
  readonly daysBridged: number;
  /** The share of those days recorded this season or in another year, 0 to 1. */
  readonly shareKnown: number;
  /** `shareKnown` is at least the rule's: below it, fall back on the days from seeding. */
  readonly enough: boolean;
  /** Had the rest of the season gone as in each year recorded; undefined where no year is recorded enough. */
  readonly range: { readonly earliest: number; readonly latest: number; readonly years: readonly number[] } | undefined;
}

/** A season is followed for a year from seeding: no date comes twice. */
const DAYS_FOLLOWED = 365;

/**
 * The first day when the degree days since seeding reach `wanted` (0 or more; 0: the day of seeding).
 * Errors: no weather at all; the weather recorded does not reach that far; figures that are not numbers.
 */
export function forecastDay(season: CropSeason, wanted: number): Calculated<ForecastDay> {
  const problem = firstProblem(seasonProblem(season), amountProblem("degree days to reach", wanted, true));
  return problem === undefined ? forecast(season, seasonRuns(season), wanted) : cannot(problem);
}

export interface StageForecast {
  /** BBCH. */
  readonly stage: number;
  readonly degreeDays: number;
  /** Undefined where the weather recorded does not reach that far. */
  readonly forecast: ForecastDay | undefined;
}

/**
 * The day of every stage of a table `{BBCH stage: degree days since seeding}`, in the order of the stages.
 * Errors: as `forecastDay`; a table that is empty, or in which a later stage needs fewer degree days.
 */
export function stageForecast(
  season: CropSeason,
  degreeDaysByStage: Readonly<Record<string, number>>,
): Calculated<readonly StageForecast[]> {
  const table = stageTable(degreeDaysByStage);
  if (!table.ok) return table;
  const problem = seasonProblem(season);
  if (problem !== undefined) return cannot(problem);
  const runs = seasonRuns(season);
  return calculated(
    table.value.map((row) => {
      const reached = forecast(season, runs, row.degreeDays);
      return { ...row, forecast: reached.ok ? reached.value : undefined };
    }),
  );
}

/** The last stage of the table that a sum of degree days has reached; undefined before the first. Errors: the table's. */
export function stageReached(
  degreeDays: number,
  degreeDaysByStage: Readonly<Record<string, number>>,
): Calculated<number | undefined> {
  const problem = amountProblem("sum of degree days", degreeDays, true);
  if (problem !== undefined) return cannot(problem);
  const table = stageTable(degreeDaysByStage);
  if (!table.ok) return table;
  return calculated(table.value.findLast((row) => row.degreeDays <= degreeDays)?.stage);
}

function stageTable(
  degreeDaysByStage: Readonly<Record<string, number>>,
): Calculated<readonly { stage: number; degreeDays: number }[]> {
  const rows = Object.entries(degreeDaysByStage)
    .map(([stage, degreeDays]) => ({ stage: /^\d{1,2}$/.test(stage) ? Number(stage) : NaN, degreeDays }))
    .sort((a, b) => a.stage - b.stage);
  if (rows.length === 0) return cannot("The region names no degree days for any stage of the crop.");
  for (const [i, row] of rows.entries()) {
    if (Number.isNaN(row.stage)) return cannot("The stages in the region's degree days must be BBCH, from 00 to 99.");
    const problem = amountProblem(`degree days to stage ${row.stage}`, row.degreeDays, true);
    if (problem !== undefined) return cannot(problem);
    if (i > 0 && row.degreeDays < rows[i - 1]!.degreeDays) {
      return cannot(`The region gives stage ${row.stage} fewer degree days than the stage before it.`);
    }
  }
  return calculated(rows);
}

/** Day by day from seeding: the sum so far, and how many days up to it were recorded this season, or known at all. */
interface SeasonRun {
  readonly sums: readonly number[];
  readonly recorded: readonly number[];
  readonly known: readonly number[];
}

interface SeasonRuns {
  readonly mean: SeasonRun;
  /** The season run on as in each other year recorded. */
  readonly byYear: readonly { readonly year: number; readonly run: SeasonRun }[];
}

function seasonRuns({ seeded, weather }: CropSeason): SeasonRuns {
  const dates = Array.from({ length: DAYS_FOLLOWED }, (_, i) => civilDate(seeded + i));
  const ownYear = yearOfDay(seeded);
  const mean = seasonRun(seeded, weather, (i) => {
    const { month, dayOfMonth } = dates[i]!;
    return weather.meanYear.get(month * 100 + dayOfMonth)?.degreeDays;
  });
  // What was recorded of one year alone may be the later part of a season that began in the year before.
  const begun = new Set(weather.years.flatMap((year) => [year - 1, year]));
  const byYear = [...begun]
    .filter((year) => year !== ownYear)
    .sort((a, b) => a - b)
    .map((year) => ({
      year,
      run: seasonRun(seeded, weather, (i) => {
        const date = dates[i]!;
        // 29 February, in a year that has none, is 1 March.
        return weather.byDay.get(dayNumber(date.year + year - ownYear, date.month, date.dayOfMonth));
      }),
    }));
  return { mean, byYear };
}

function seasonRun(
  seeded: number,
  weather: DegreeDayRecord,
  elsewhere: (daysAfterSeeding: number) => number | undefined,
): SeasonRun {
  const values: (number | undefined)[] = [];
  const recorded: number[] = [];
  const known: number[] = [];
  for (let i = 0; i < DAYS_FOLLOWED; i++) {
    const own = weather.byDay.get(seeded + i);
    const value = own ?? elsewhere(i);
    values.push(value);
    recorded.push((recorded[i - 1] ?? 0) + (own === undefined ? 0 : 1));
    known.push((known[i - 1] ?? 0) + (value === undefined ? 0 : 1));
  }
  let sum = 0;
  const sums = bridged(values).map((value) => (sum += value));
  return { sums, recorded, known };
}

/** Fills gaps by a straight line; before the first known day with its value, after the last with nothing at all. */
function bridged(values: readonly (number | undefined)[]): number[] {
  const filled: number[] = [];
  let last = -1;
  values.forEach((value, i) => {
    if (value === undefined) return;
    const before = last < 0 ? value : filled[last]!;
    for (let gap = last + 1; gap < i; gap++) filled.push(before + ((value - before) * (gap - last)) / (i - last));
    filled.push(value);
    last = i;
  });
  return filled;
}

function forecast({ seeded, weather }: CropSeason, runs: SeasonRuns, wanted: number): Calculated<ForecastDay> {
  const at = firstReached(runs.mean, wanted);
  if (at === undefined) {
    return cannot(
      `The weather recorded does not reach far enough to say when ${numberText(wanted)} degree days since seeding on ` +
        `${formatDay(seeded)} are reached.`,
    );
  }
  const days = at + 1;
  const shareKnown = runs.mean.known[at]! / days;
  const isWithinYear = yearOfDay(seeded + at) === yearOfDay(seeded);
  const reached = runs.byYear.flatMap(({ year, run }) => {
    if (isWithinYear && !weather.years.includes(year)) return [];
    const then = firstReached(run, wanted);
    const enough = then !== undefined && run.known[then]! / (then + 1) >= weather.rule.leastShareRecorded;
    return enough ? [{ year, day: seeded + then }] : [];
  });
  const range = {
    earliest: Math.min(...reached.map((one) => one.day)),
    latest: Math.max(...reached.map((one) => one.day)),
    years: reached.map((one) => one.year),
  };
  return calculated({
    day: seeded + at,
    daysRecorded: runs.mean.recorded[at]!,
    daysFromMean: runs.mean.known[at]! - runs.mean.recorded[at]!,
    daysBridged: days - runs.mean.known[at]!,
    shareKnown,
    enough: shareKnown >= weather.rule.leastShareRecorded,
    range: reached.length === 0 ? undefined : range,
  });
}

function firstReached(run: SeasonRun, wanted: number): number | undefined {
  const at = run.sums.findIndex((sum) => sum >= wanted);
  return at < 0 ? undefined : at;
}

function seasonProblem({ seeded, weather }: CropSeason): string | undefined {
  if (weather.byDay.size === 0) return "No weather is recorded, so no degree days can be summed.";
  return dayProblem("day of seeding", seeded);
}

/**
 * Degree days from daily weather.
 *
 * Source: McMaster & Wilhelm 1997, Agric. For. Meteorol. 87:291–300, who name the two methods in use: they differ on
 * days whose minimum is below the base.
 *
 * Temperatures are °C, degree days °C·d; a day is a whole number, see `base/days.ts`.
 */
import { civilDate, formatDay, yearOfDay } from "../base/days.ts";
import { calculated, cannot, firstProblem, numberText, shareProblem, type Calculated } from "./calculated.ts";

/** 1: max(0, mean − base). 2: minimum and maximum are raised to the base first, then the mean is taken. */
export type DegreeDayMethod = 1 | 2;

export interface WeatherDay {
  readonly day: number;
  readonly tminC: number;
  readonly tmaxC: number;
}

/** Which degree days: their base and method, and how much of a season must be recorded for a sum to be relied on. */
export interface DegreeDayRule {
  readonly baseC: number;
  readonly method: DegreeDayMethod;
  /** 0 to 1: with a smaller share of the days recorded, a result says that it is not enough. */
  readonly leastShareRecorded: number;
}

/** The degree days of one day. Method 1 and 2 as above. Errors: not numbers; a minimum above the maximum. */
export function degreeDaysOfDay(
  tmaxC: number,
  tminC: number,
  baseC: number,
  method: DegreeDayMethod,
): Calculated<number> {
  const problem = firstProblem(
    temperatureProblem("day's maximum", tmaxC),
    temperatureProblem("day's minimum", tminC),
    temperatureProblem("base temperature", baseC),
    methodProblem(method),
  );
  if (problem !== undefined) return cannot(problem);
  if (tminC > tmaxC) {
    return cannot(`The day's minimum of ${numberText(tminC)} °C is above its maximum of ${numberText(tmaxC)} °C.`);
  }
  const [high, low] = method === 1 ? [tmaxC, tminC] : [Math.max(tmaxC, baseC), Math.max(tminC, baseC)];
  return calculated(Math.max(0, (high + low) / 2 - baseC));
}

/** The degree days of each day recorded up to a day: made once for a weather file, then asked for every field. */
export interface DegreeDayRecord {
  readonly rule: DegreeDayRule;
  /** The last day that counts: later rows have not happened yet. */
  readonly upTo: number;
  /** Unreadable days left out; of a day written twice the last row. */
  readonly byDay: ReadonlyMap<number, number>;
  /**
   * The mean year, by `dateKey`: of each day of the calendar, the mean over the years that recorded it. The mean is
   * taken of degree days and not of temperatures, as cold days count as none and do not take warmth away.
   */
  readonly meanYear: ReadonlyMap<number, { readonly degreeDays: number; readonly years: number }>;
  /** The years with a day recorded, in order. */
  readonly years: readonly number[];
  /** Rows left out: not numbers, no such day, or a minimum above the maximum. */
  readonly unusable: readonly WeatherDay[];
}

/** Errors: a rule that is not numbers, an `upTo` that is no day. No rows: an empty record. */
export function degreeDayRecord(
  rows: readonly WeatherDay[],
  upTo: number,
  rule: DegreeDayRule,
): Calculated<DegreeDayRecord> {
  const problem = firstProblem(ruleProblem(rule), dayProblem("as-of day", upTo));
  if (problem !== undefined) return cannot(problem);
  const byDay = new Map<number, number>();
  const unusable: WeatherDay[] = [];
  for (const row of rows) {
    if (row.day > upTo) continue;
    const degreeDays = degreeDaysOfDay(row.tmaxC, row.tminC, rule.baseC, rule.method);
    if (isDay(row.day) && degreeDays.ok) byDay.set(row.day, degreeDays.value);
    else unusable.push(row);
  }
  const years = new Set<number>();
  const meanYear = new Map<number, { degreeDays: number; years: number }>();
  for (const [day, degreeDays] of byDay) {
    years.add(yearOfDay(day));
    const soFar = meanYear.get(dateKey(day)) ?? { degreeDays: 0, years: 0 };
    const count = soFar.years + 1;
    meanYear.set(dateKey(day), {
      degreeDays: soFar.degreeDays + (degreeDays - soFar.degreeDays) / count,
      years: count,
    });
  }
  return calculated({ rule, upTo, byDay, meanYear, years: [...years].sort((a, b) => a - b), unusable });
}

/** A day of the calendar whatever the year: month · 100 + day of the month. */
function dateKey(day: number): number {
  const { month, dayOfMonth } = civilDate(day);
  return month * 100 + dayOfMonth;
}

/** Days are of the years 1 to 9999. */
const EARLIEST_DAY = -719162;
const LATEST_DAY = 2932896;

export function isDay(day: number): boolean {
  return Number.isInteger(day) && day >= EARLIEST_DAY && day <= LATEST_DAY;
}

export interface DegreeDaySum {
  /** Of the recorded days alone: with days missing, the true sum is higher. */
  readonly degreeDays: number;
  readonly days: number;
  readonly daysRecorded: number;
  readonly daysMissing: number;
  /** Runs of missing days, first and last day of each, in order. */
  readonly missing: readonly { readonly from: number; readonly to: number }[];
  /** 0 to 1. */
  readonly shareRecorded: number;
  /** The share recorded is at least the rule's. */
  readonly enough: boolean;
}

/**
 * The sum from the day `from` to the day `to`, both counted. No days (`to` the day before `from`): a sum of 0.
 * Errors: days out of order or of no calendar.
 */
export function degreeDaySum(record: DegreeDayRecord, from: number, to: number): Calculated<DegreeDaySum> {
  const problem = firstProblem(dayProblem("first day", from), dayProblem("last day", to));
  if (problem !== undefined) return cannot(problem);
  if (to < from - 1) return cannot(`The last day, ${formatDay(to)}, is before the first, ${formatDay(from)}.`);
  let degreeDays = 0;
  let daysRecorded = 0;
  const missing: { from: number; to: number }[] = [];
  for (let day = from; day <= to; day++) {
    const ofDay = record.byDay.get(day);
    if (ofDay !== undefined) {
      degreeDays += ofDay;
      daysRecorded++;
      continue;
    }
    const run = missing.at(-1);
    if (run?.to === day - 1) run.to = day;
    else missing.push({ from: day, to: day });
  }
  const days = to - from + 1;
  const shareRecorded = days === 0 ? 1 : daysRecorded / days;
  return calculated({
    degreeDays,
    days,
    daysRecorded,
    daysMissing: days - daysRecorded,
    missing,
    shareRecorded,
    enough: shareRecorded >= record.rule.leastShareRecorded,
  });
}

function ruleProblem(rule: DegreeDayRule): string | undefined {
  return firstProblem(
    temperatureProblem("base temperature", rule.baseC),
    methodProblem(rule.method),
    shareProblem("least share of days recorded", rule.leastShareRecorded),
  );
}

/** Beyond these no air has ever been: a slip of the keyboard. */
function temperatureProblem(name: string, celsius: number): string | undefined {
  if (Math.abs(celsius) <= 100) return undefined;
  return `The ${name} must be a temperature from -100 to 100 °C, not ${numberText(celsius)}.`;
}

function methodProblem(method: number): string | undefined {
  return method === 1 || method === 2 ? undefined : `There are degree day methods 1 and 2, not ${numberText(method)}.`;
}

export function dayProblem(name: string, day: number): string | undefined {
  return isDay(day) ? undefined : `The ${name} is not a day of the calendar.`;
}

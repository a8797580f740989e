import { civilDate, dayNumber } from "./days.ts";

/** The day of the calendar on which a season begins that is more than a calendar year; both count from one. */
export interface SeasonStart {
  readonly month: number;
  readonly dayOfMonth: number;
}

/** `08-01`: undefined for what is no day of the calendar, and for the first of January, which is the calendar year. */
export function parseSeasonStart(text: string | undefined): SeasonStart | undefined {
  const parts = /^(\d\d)-(\d\d)$/.exec(text ?? "");
  if (!parts) return undefined;
  const [month, dayOfMonth] = [Number(parts[1]), Number(parts[2])];
  if (month < 1 || month > 12 || dayOfMonth < 1 || dayOfMonth > 31 || (month === 1 && dayOfMonth === 1))
    return undefined;
  return { month, dayOfMonth };
}

/** The season a day belongs to, by the year in which it ends; days since 1970-01-01. Without a start: the calendar year. */
export function seasonOfDay(day: number, start: SeasonStart | undefined): number {
  const { year, month, dayOfMonth } = civilDate(day);
  if (!start) return year;
  return month > start.month || (month === start.month && dayOfMonth >= start.dayOfMonth) ? year + 1 : year;
}

/** The first day of a season, since 1970-01-01. */
export function firstDayOfSeason(season: number, start: SeasonStart | undefined): number {
  return start ? dayNumber(season - 1, start.month, start.dayOfMonth) : dayNumber(season, 1, 1);
}

/**
 * Calendar arithmetic on ISO 8601 dates (`YYYY-MM-DD`) and local date-times (`YYYY-MM-DDTHH:MM`).
 *
 * A day is a whole number: days since 1970-01-01. A minute is a whole number: minutes since 1970-01-01T00:00 of the
 * book's local clock; records carry no zone and none is added. Nothing here knows what day it is today.
 */

export const MINUTES_PER_DAY = 1440;
const HYPHEN = 45;
const COLON = 58;
const LETTER_T = 84;

/** Days since 1970-01-01 of an ISO date, or undefined when it is not a day of the calendar. */
export function parseDay(text: string): number | undefined {
  return text.length === 10 ? dayAtStart(text) : undefined;
}

/** Minutes since 1970-01-01T00:00 of an ISO local date-time, or undefined when it is not one. */
export function parseMinute(text: string): number | undefined {
  if (text.length !== 16 || text.charCodeAt(10) !== LETTER_T || text.charCodeAt(13) !== COLON) return undefined;
  const day = dayAtStart(text);
  const hours = digits(text, 11, 2);
  const minutes = digits(text, 14, 2);
  if (day === undefined || !(hours <= 23) || !(minutes <= 59)) return undefined;
  return day * MINUTES_PER_DAY + hours * 60 + minutes;
}

/** The first ten characters as a date. Every date of a book passes here, hence no pattern is used. */
function dayAtStart(text: string): number | undefined {
  if (text.charCodeAt(4) !== HYPHEN || text.charCodeAt(7) !== HYPHEN) return undefined;
  const year = digits(text, 0, 4);
  const month = digits(text, 5, 2);
  const dayOfMonth = digits(text, 8, 2);
  if (!(month >= 1 && month <= 12 && dayOfMonth >= 1 && dayOfMonth <= daysInMonth(year, month))) return undefined;
  return dayNumber(year, month, dayOfMonth);
}

/** So many digits from a place on as a number; NaN where one is none. */
function digits(text: string, from: number, count: number): number {
  let value = 0;
  for (let i = from; i < from + count; i++) {
    const digit = text.charCodeAt(i) - 48;
    if (!(digit >= 0 && digit <= 9)) return NaN;
    value = value * 10 + digit;
  }
  return value;
}

/** The day a date or a date-time falls on, or undefined. */
export function parseDayOf(text: string): number | undefined {
  return parseDay(text.length > 10 && text[10] === "T" ? text.slice(0, 10) : text);
}

export function formatDay(day: number): string {
  const { year, month, dayOfMonth } = civilDate(day);
  return `${String(year).padStart(4, "0")}-${two(month)}-${two(dayOfMonth)}`;
}

export function formatMinute(minute: number): string {
  const day = Math.floor(minute / MINUTES_PER_DAY);
  const rest = minute - day * MINUTES_PER_DAY;
  return `${formatDay(day)}T${two(Math.floor(rest / 60))}:${two(rest % 60)}`;
}

export function yearOfDay(day: number): number {
  return civilDate(day).year;
}

/** Days since 1970-01-01 of a day of the Gregorian calendar. */
export function dayNumber(year: number, month: number, dayOfMonth: number): number {
  // Howard Hinnant, "chrono-Compatible Low-Level Date Algorithms", days_from_civil (public domain).
  const y = month <= 2 ? year - 1 : year;
  const era = Math.floor(y / 400);
  const yearOfEra = y - era * 400;
  const dayOfYear = Math.floor((153 * (month > 2 ? month - 3 : month + 9) + 2) / 5) + dayOfMonth - 1;
  const dayOfEra = yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear;
  return era * 146097 + dayOfEra - 719468;
}

/** The Gregorian calendar date of a day since 1970-01-01; months and days of the month count from one. */
export function civilDate(day: number): { year: number; month: number; dayOfMonth: number } {
  const z = day + 719468;
  const era = Math.floor(z / 146097);
  const dayOfEra = z - era * 146097;
  const yearOfEra = Math.floor(
    (dayOfEra - Math.floor(dayOfEra / 1460) + Math.floor(dayOfEra / 36524) - Math.floor(dayOfEra / 146096)) / 365,
  );
  const dayOfYear = dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100));
  const shifted = Math.floor((5 * dayOfYear + 2) / 153);
  const month = shifted < 10 ? shifted + 3 : shifted - 9;
  return {
    year: yearOfEra + era * 400 + (month <= 2 ? 1 : 0),
    month,
    dayOfMonth: dayOfYear - Math.floor((153 * shifted + 2) / 5) + 1,
  };
}

function daysInMonth(year: number, month: number): number {
  if (month === 2) return (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0 ? 29 : 28;
  return month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31;
}

function two(n: number): string {
  return n < 10 ? `0${n}` : String(n);
}

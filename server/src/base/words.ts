import { civilDate, MINUTES_PER_DAY } from "./days.ts";

/** `1 field`, `2 fields`; an irregular plural is given in full. */
export function plural(count: number, singular: string, pluralForm = `${singular}s`): string {
  return `${count} ${count === 1 ? singular : pluralForm}`;
}

/** `once`, `twice`, `3 times` */
export function times(count: number): string {
  return count === 1 ? "once" : count === 2 ? "twice" : `${count} times`;
}

/** With a capital at the beginning, as a sentence has it. */
export function capitalised(text: string): string {
  return text.slice(0, 1).toUpperCase() + text.slice(1);
}

/** `a`, `a and b`, `a, b and c` */
export function listed(items: readonly string[]): string {
  if (items.length < 2) return items[0] ?? "";
  return `${items.slice(0, -1).join(", ")} and ${items[items.length - 1]!}`;
}

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** `9 May`, or `9 May 2025` where the year is not the one that goes without saying. Days since 1970-01-01. */
export function dayInWords(day: number, impliedYear?: number): string {
  const { year, month, dayOfMonth } = civilDate(day);
  const short = `${dayOfMonth} ${MONTHS[month - 1]!}`;
  return year === impliedYear ? short : `${short} ${year}`;
}

/** A figure with at most so many decimals, without trailing zeros. */
export function figure(value: number, decimals = 2): string {
  const rounded = Number(value.toFixed(decimals));
  return String(rounded);
}

/** Two figures that are not the same, with as many decimals as it takes to tell them apart: `0.998` and `1`. */
export function figuresApart(a: number, b: number): [string, string] {
  for (let decimals = 2; decimals < 9; decimals++) {
    const texts: [string, string] = [figure(a, decimals), figure(b, decimals)];
    if (texts[0] !== texts[1]) return texts;
  }
  return [String(a), String(b)];
}

/** `18:10`, of whole minutes since 1970-01-01T00:00. */
export function timeOfDay(minute: number): string {
  const inDay = minute - Math.floor(minute / MINUTES_PER_DAY) * MINUTES_PER_DAY;
  const two = (n: number): string => String(n).padStart(2, "0");
  return `${two(Math.floor(inDay / 60))}:${two(inDay % 60)}`;
}

/** `40 minutes`, `3 hours`, `1 hour 5 minutes`, of whole minutes. */
export function durationInWords(minutes: number): string {
  const hours = Math.floor(minutes / 60);
  const rest = minutes - hours * 60;
  if (hours === 0) return plural(rest, "minute");
  return rest === 0 ? plural(hours, "hour") : `${plural(hours, "hour")} ${plural(rest, "minute")}`;
}

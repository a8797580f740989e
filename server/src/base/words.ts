import { civilDate } from "./days.ts";

/** `1 field`, `2 fields`; an irregular plural is given in full. */
export function plural(count: number, singular: string, pluralForm = `${singular}s`): string {
  return `${count} ${count === 1 ? singular : pluralForm}`;
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

import { parseDay, parseMinute } from "../base/days.ts";

/** The formats of dates and times in records, as the validators call them. */

/** An ISO 8601 date, `YYYY-MM-DD`, of a day of the calendar. */
export function date(text: string): boolean {
  return parseDay(text) !== undefined;
}

/** A local date and time, `YYYY-MM-DDTHH:MM`. */
function dateTimeMinutes(text: string): boolean {
  return parseMinute(text) !== undefined;
}
export { dateTimeMinutes as "date-time-minutes" };

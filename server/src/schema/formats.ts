/**
 * The formats of dates and times in records, as the validators call them. A day must be one of the calendar; nothing is
 * allocated, because every date of a book passes here.
 */

/** An ISO 8601 date, `YYYY-MM-DD`. */
export function date(text: string): boolean {
  return text.length === 10 && isDateAt(text);
}

/** A local date and time, `YYYY-MM-DDTHH:MM`. */
function dateTimeMinutes(text: string): boolean {
  if (text.length !== 16 || !isDateAt(text) || text.charCodeAt(10) !== T || text.charCodeAt(13) !== COLON) return false;
  const hours = twoDigits(text, 11);
  const minutes = twoDigits(text, 14);
  return hours >= 0 && hours < 24 && minutes >= 0 && minutes < 60;
}
export { dateTimeMinutes as "date-time-minutes" };

const DASH = 45;
const ZERO = 48;
const COLON = 58;
const T = 84;

function isDateAt(text: string): boolean {
  if (text.charCodeAt(4) !== DASH || text.charCodeAt(7) !== DASH) return false;
  const century = twoDigits(text, 0);
  const yearOfCentury = twoDigits(text, 2);
  const month = twoDigits(text, 5);
  const day = twoDigits(text, 8);
  if (century < 0 || yearOfCentury < 0 || month < 1 || month > 12 || day < 1) return false;
  if (day <= 28) return true;
  const year = century * 100 + yearOfCentury;
  const isLeap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const last = month === 2 ? (isLeap ? 29 : 28) : month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31;
  return day <= last;
}

/** The number that two digits make, or -1 where they are not digits. */
function twoDigits(text: string, at: number): number {
  const tens = text.charCodeAt(at) - ZERO;
  const ones = text.charCodeAt(at + 1) - ZERO;
  return tens >= 0 && tens <= 9 && ones >= 0 && ones <= 9 ? tens * 10 + ones : -1;
}

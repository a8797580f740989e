import { civilDate, formatMinute } from "../base/days.ts";
import { applyEdits, type Span } from "../base/text.ts";
import { byCodeUnits } from "../base/code-units.ts";
import type { Book } from "../book/book.ts";
import { dayOfRecord } from "../book/dates.ts";
import type { RecordFile } from "../records/record-file.ts";
import { isKind } from "../records/record.ts";
import type { BookEdit } from "./context.ts";
import type { Home } from "./fixes/home-file.ts";
import { newRecordEdit } from "./fixes/new-record-edit.ts";
import { dayOfMinute, visitRecord } from "./new-records.ts";
import { nextRecordId } from "./next-id.ts";

export interface NewVisitEdit {
  readonly edit: BookEdit;
  /** Of the file, from the book's root. */
  readonly path: string;
  /** The file is not there yet. */
  readonly isNewFile: boolean;
  /** The file's text once the edit is made. */
  readonly text: string;
  /** The new record in that text, from its id on. */
  readonly span: Span;
}

const MONTHS = "january february march april may june july august september october november december".split(" ");

/**
 * Writes a scouting visit that begins now into the file where it belongs.
 *
 * @param now minutes since 1970-01-01T00:00 of the book's local clock.
 * @param near a file of the book that the keeper looks at: a visits file of the same month is taken before others.
 * @param crew who walks, in place of whoever scouted last.
 * @returns undefined where the visits are written in so unusual a way that nothing can be added.
 */
export function newVisitEdit(
  book: Book,
  field: string,
  now: number,
  near?: string,
  crew?: readonly string[],
): NewVisitEdit | undefined {
  const home = visitHome(book, now, near);
  const day = dayOfMinute(now);
  const id = nextRecordId(book, "visits", { day, field }, home.file) ?? freeId(book, field);
  const edit = newRecordEdit(home, "visits", visitRecord(book, { id, field, arrived: now, crew }), {});
  const edits = edit?.get(home.path);
  const first = edits?.[0];
  if (!edit || !edits || !first) return undefined;
  const lead = /- (?=id:)/.exec(first.newText);
  const start = first.span.start + (lead ? lead.index + lead[0].length : 0);
  const end = first.span.start + first.newText.trimEnd().length;
  const text = applyEdits(home.file?.text ?? "", edits);
  return { edit, path: home.path, isNewFile: home.file === undefined, text, span: { start, end } };
}

/** Where no id of the book shows a way to number, the field's own with a number. */
function freeId(book: Book, field: string): string {
  for (let number = 1; ; number++) {
    const id = `v-${field}-${number}`;
    if (!book.record("visits", id)) return id;
  }
}

/**
 * The file that holds visits of the same month: the one looked at (also while it is empty), else that with most of them.
 * Else the file of the latest visits: the same, or where the book has a file a month or a year, its fellow.
 */
function visitHome(book: Book, now: number, near: string | undefined): Home {
  const { year, month } = civilDate(dayOfMinute(now));
  const files = book.files.filter(({ kind }) => kind === "visits");
  const ofMonth = (file: RecordFile): number => daysOf(file).filter((day) => isInMonth(day, year, month)).length;
  const looked = files.find((file) => file.path === near && (file.entries.length === 0 || ofMonth(file) > 0));
  const [fullest] = files.filter((file) => ofMonth(file) > 0).sort((a, b) => ofMonth(b) - ofMonth(a));
  const same = looked ?? fullest;
  if (same) return homeIn(same, now);
  const latest = latestFile(files);
  const fellow = latest && fellowPath(latest.file, latest.day, dayOfMinute(now), book);
  if (fellow === undefined) {
    const file = latest?.file ?? files[0];
    return file
      ? homeIn(file, now)
      : { path: `${book.seasonOfDay(dayOfMinute(now))}.visits.yaml`, file: undefined, after: undefined };
  }
  const known = files.find(({ path }) => path === fellow);
  return known ? homeIn(known, now) : { path: fellow, file: undefined, after: undefined };
}

function homeIn(file: RecordFile, now: number): Home {
  const when = formatMinute(now);
  let after: number | undefined;
  file.entries.forEach(({ body: { record } }, index) => {
    if (isKind(record, "visits") && record.facts.arrived !== undefined && record.facts.arrived <= when) after = index;
  });
  return { path: file.path, file, after: after ?? (file.entries.length > 0 ? file.entries.length - 1 : undefined) };
}

function latestFile(files: readonly RecordFile[]): { file: RecordFile; day: number } | undefined {
  const dated = files.map((file) => ({ file, day: Math.max(...daysOf(file)) })).filter(({ day }) => day > -Infinity);
  return dated.sort((a, b) => b.day - a.day || byCodeUnits(a.file.path, b.file.path))[0];
}

/**
 * `2026/11-november.visits.yaml` beside `2026/10-october.visits.yaml`, `2027.visits.yaml` beside `2026.visits.yaml`;
 * undefined where a file is not called by the month or year of all that it holds. Where seasons are no calendar years, a file
 * or its folder may be called by the season.
 */
function fellowPath(file: RecordFile, lastDay: number, today: number, book: Book): string | undefined {
  const old = civilDate(lastDay);
  const { year, month } = civilDate(today);
  const [oldSeason, season] = [book.seasonOfDay(lastDay), book.seasonOfDay(today)];
  const slash = file.path.lastIndexOf("/") + 1;
  const [folder, name] = [file.path.slice(0, slash), file.path.slice(slash)];
  const isBySeason = oldSeason !== old.year && !file.path.includes(String(old.year));
  const [named, toName] = isBySeason ? [oldSeason, season] : [old.year, year];
  const inNewYear = (path: string): string => path.replaceAll(String(named), String(toName));
  const monthName = new RegExp(`(?<![a-z])${MONTHS[old.month - 1]!}(?![a-z])`);
  const isOfMonth = monthName.test(name) || name.includes(`${old.year}-${twoDigits(old.month)}`);
  if (isOfMonth && daysOf(file).every((day) => isInMonth(day, old.year, old.month))) {
    const number = new RegExp(`(?<!\\d)${twoDigits(old.month)}(?!\\d)`);
    return inNewYear(folder + name.replace(monthName, MONTHS[month - 1]!).replace(number, twoDigits(month)));
  }
  const all = daysOf(file);
  const ofOneSeason = all.every((day) => book.seasonOfDay(day) === oldSeason);
  if (file.path.includes(String(oldSeason)) && ofOneSeason)
    return season === oldSeason ? undefined : file.path.replaceAll(String(oldSeason), String(season));
  const isOfYear = file.path.includes(String(old.year)) && all.every((day) => civilDate(day).year === old.year);
  return isOfYear && year !== old.year ? inNewYear(file.path) : undefined;
}

function daysOf(file: RecordFile): number[] {
  return file.entries.flatMap(({ body }) => dayOfRecord(body.record) ?? []);
}

function isInMonth(day: number, year: number, month: number): boolean {
  const date = civilDate(day);
  return date.year === year && date.month === month;
}

function twoDigits(number: number): string {
  return String(number).padStart(2, "0");
}

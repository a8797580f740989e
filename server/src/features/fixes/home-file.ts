import { civilDate, parseDayOf } from "../../base/days.ts";
import type { SeasonStart } from "../../base/seasons.ts";
import type { Book } from "../../book/book.ts";
import { dayOfRecord } from "../../book/dates.ts";
import type { RecordFile } from "../../records/record-file.ts";
import { isKind, type FactRecord } from "../../records/record.ts";

/** Where a new cleaning or sample is to stand. */
export interface Home {
  readonly path: string;
  /** Undefined where the file is still to be made. */
  readonly file: RecordFile | undefined;
  /** The index of the record it follows in time; undefined for the end of the file. */
  readonly after: number | undefined;
}

/**
 * The file where records of a kind like this one stand: of the same month and crew, else of the same month, else of the
 * same season, the visit's own folder first; else a new one beside the visit's.
 *
 * @param when the new record's date, or date and time.
 */
export function homeFor(book: Book, kind: "cleanings" | "samples", when: string, visit: FactRecord<"visits">): Home {
  const day = parseDayOf(when) ?? 0;
  const wanted = civilDate(day);
  const season = book.seasonOfDay(day);
  const folder = folderOf(visit.file);
  const crew = new Set(visit.facts.crew);
  let best: { file: RecordFile; score: number } | undefined;
  for (const file of book.files) {
    if (file.kind !== kind) continue;
    const tally = tallyOf(file, book);
    const sameYear = tally.get(monthName(season, 0)) ?? 0;
    const month = monthName(wanted.year, wanted.month);
    const sameMonth = tally.get(month) ?? 0;
    let sameCrew = 0;
    for (const id of crew) sameCrew += tally.get(`${month} ${id}`) ?? 0;
    // A file that is named as the visit's is its fellow, whatever it holds so far.
    const isFellow = stemOf(file.path) === stemOf(visit.file);
    const share = (count: number): number => count / (count + 1);
    const score =
      (isFellow && sameYear === file.entries.length ? 3 : 0) +
      4 * share(sameCrew) +
      2 * share(sameMonth) +
      share(sameYear) +
      (folderOf(file.path) === folder ? 0.5 : 0);
    if (sameYear + sameMonth === 0 && !isFellow) continue;
    if (!best || score > best.score) best = { file, score };
  }
  if (!best) return { path: `${stemOf(visit.file)}.${kind}.yaml`, file: undefined, after: undefined };
  return { path: best.file.path, file: best.file, after: placeInTime(best.file, when) };
}

/** The last record that is not later. */
function placeInTime(file: RecordFile, when: string): number | undefined {
  let after: number | undefined;
  file.entries.forEach(({ body: { record } }, index) => {
    const on = isKind(record, "cleanings")
      ? record.facts.at
      : isKind(record, "samples")
        ? (record.facts.taken ?? record.facts.sent)
        : undefined;
    // ISO dates and times are in order of time when they are in order of their characters.
    if (on !== undefined && on <= when) after = index;
  });
  return after ?? (file.entries.length > 0 ? file.entries.length - 1 : undefined);
}

interface Tally {
  readonly start: SeasonStart | undefined;
  readonly counts: ReadonlyMap<string, number>;
}

const tallies = new WeakMap<RecordFile, Tally>();

/** How many of a file's records fall into each season (`2026-0`), month (`2026-8`), and month by who did it (`2026-8 mo`). */
function tallyOf(file: RecordFile, book: Book): ReadonlyMap<string, number> {
  const known = tallies.get(file);
  const start = book.seasonStart;
  if (known && known.start?.month === start?.month && known.start?.dayOfMonth === start?.dayOfMonth)
    return known.counts;
  const tally = new Map<string, number>();
  const add = (name: string): void => void tally.set(name, (tally.get(name) ?? 0) + 1);
  for (const { body } of file.entries) {
    const on = dayOfRecord(body.record);
    if (on === undefined) continue;
    const { year, month } = civilDate(on);
    add(monthName(book.seasonOfDay(on), 0));
    add(monthName(year, month));
    if (isKind(body.record, "cleanings") && body.record.facts.by)
      add(`${monthName(year, month)} ${body.record.facts.by}`);
  }
  tallies.set(file, { start, counts: tally });
  return tally;
}

function monthName(year: number, month: number): string {
  return `${year}-${month}`;
}

function folderOf(path: string): string {
  return path.slice(0, path.lastIndexOf("/") + 1);
}

/** `2026/08-august` of `2026/08-august.visits.yaml` */
function stemOf(path: string): string {
  return path.replace(/\.[a-z]+\.yaml$/, "");
}

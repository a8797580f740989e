import type { Book } from "../book/book.ts";
import { entryIndex } from "../book/book-index.ts";
import { byCodeUnits } from "../base/code-units.ts";
import type { FieldChange, FieldStanding } from "../book/compare-fields.ts";
import type { ChangedRecord, RecordChanges } from "../book/compare-records.ts";
import type { FactRecord } from "../records/record.ts";
import { spanOfPlace } from "../records/places.ts";
import { linesOf } from "../rules/publish.ts";
import type { ChangeReport, LinePlace, ReportedField, ReportedStanding } from "./change-report.ts";
import { changedFigures } from "./changed-figures.ts";
import type { ComparedBook } from "./compare-books.ts";
import { fromFolder, type LoadedBook } from "./loaded-book.ts";
import { regionChanges } from "./region-changes.ts";
import { addedAccepts, levelChanges } from "./silencing-changes.ts";

interface OneVersion {
  readonly book: Book;
  readonly prefix: string;
  /** The book's folder as the report names it: empty where there is no other book. */
  readonly folder: string;
}

/**
 * All that is to be told of what became of some books, in one report.
 *
 * @param target undefined for the files as they lie in the folder
 * @param asOf `YYYY-MM-DD`
 */
export function changeReport(
  books: readonly ComparedBook[],
  base: string,
  target: string | undefined,
  asOf: string,
): ChangeReport {
  const all = (kind: keyof RecordChanges): ChangedRecord[] =>
    books
      .flatMap(({ records }) => records[kind])
      .sort((a, b) => byCodeUnits(a.kind, b.kind) || byCodeUnits(a.id, b.id));
  const inBoth = <T>(changes: (before: OneVersion, after: OneVersion) => T[]): T[] =>
    books.flatMap(({ before, after }) => (before && after ? changes(versionOf(before), versionOf(after)) : []));
  const versionOf = ({ opened, prefix }: LoadedBook): OneVersion => {
    return { book: opened.book, prefix, folder: books.length > 1 ? prefix : "" };
  };
  const byFile = (a: { file: string }, b: { file: string }): number => byCodeUnits(a.file, b.file);
  return {
    base,
    target,
    asOf,
    gained: books.flatMap(({ gained }) => gained).sort(byFile),
    lost: books.flatMap(({ lost }) => lost).sort(byFile),
    fields: books
      .flatMap((book) => book.fields.map((change) => reportedField(change, book)))
      .sort((a, b) => byCodeUnits(a.field, b.field)),
    regionFigures: inBoth(({ book: was }, { book: is, folder }) =>
      regionChanges(was.resolvedRegion, is.resolvedRegion).map((change) => ({ ...change, folder })),
    ),
    levels: inBoth(({ book: was }, { book: is, folder }) =>
      levelChanges(was, is).map((change) => ({ ...change, folder })),
    ),
    accepts: inBoth(({ book: was }, { book: is, prefix }) =>
      addedAccepts(was, is).map((accept) => ({ ...accept, file: fromFolder(prefix, accept.file) })),
    ),
    renamed: books.flatMap(({ renames }) => [...renames].map(([from, to]) => ({ from, to }))),
    records: { added: all("added"), changed: all("changed"), removed: all("removed") },
  };
}

function reportedField({ field, before, after }: FieldChange, books: ComparedBook): ReportedField {
  const [standing, loaded] = after ? [after, books.after!] : [before!, books.before!];
  const impliedYear = (books.after ?? books.before)!.opened.book.seasonYear;
  return {
    field,
    name: standing.risk.name,
    before: before && reportedStanding(before, books.before!),
    after: after && reportedStanding(after, books.after!),
    figures: before && after ? changedFigures(before.risk, after.risk, impliedYear) : [],
    place: placeOf(standing.record, loaded),
  };
}

function reportedStanding({ risk, words, cause }: FieldStanding, loaded: LoadedBook): ReportedStanding {
  return { status: risk.status, words, cause: cause && { ...placeOf(cause, loaded), id: cause.id } };
}

/** The line on which a record names itself. */
function placeOf(record: FactRecord, { opened, prefix }: LoadedBook): LinePlace {
  const file = opened.book.files.find(({ path }) => path === record.file);
  const line = file ? linesOf(file).range(spanOfPlace(file, entryIndex(file, record), ["id"], "value")).start.line : 0;
  return { file: fromFolder(prefix, record.file), line };
}

import type { Book } from "../book/book.ts";
import { compareFields, renamedFields, type FieldChange } from "../book/compare-fields.ts";
import { compareRecords, type RecordChanges } from "../book/compare-records.ts";
import { compareFindings } from "../rules/compare-findings.ts";
import type { LoadedBook } from "./loaded-book.ts";
import type { ReportedFinding } from "./report.ts";

/** What became of one book from one version to the next. */
export interface ComparedBook {
  readonly before: LoadedBook | undefined;
  readonly after: LoadedBook | undefined;
  readonly records: RecordChanges;
  readonly fields: readonly FieldChange[];
  /** Ids of fields before, with those that they have after. */
  readonly renames: ReadonlyMap<string, string>;
  readonly gained: readonly ReportedFinding[];
  readonly lost: readonly ReportedFinding[];
  /** How many findings of before are still there. */
  readonly standing: number;
}

/** @param check every finding of a book */
export function compareBooks(
  before: readonly LoadedBook[],
  after: readonly LoadedBook[],
  check: (book: LoadedBook) => readonly ReportedFinding[],
): ComparedBook[] {
  return pairs(before, after).map(([old, fresh]) => {
    const books: [Book | undefined, Book | undefined] = [old?.opened.book, fresh?.opened.book];
    const records = compareRecords(...books);
    const renames = renamedFields(...books);
    const findings = [old ? check(old) : [], fresh ? check(fresh) : []] as const;
    const { gained, lost } = compareFindings(...findings, records, renames);
    const standing = findings[1].length - gained.length;
    const fields = compareFields(...books, renames);
    return { before: old, after: fresh, records, renames, fields, gained, lost, standing };
  });
}

/** Books by their folders; where one folder is left on each side, it was given another name. */
function pairs(
  before: readonly LoadedBook[],
  after: readonly LoadedBook[],
): [LoadedBook | undefined, LoadedBook | undefined][] {
  const has = (books: readonly LoadedBook[], { prefix }: LoadedBook): boolean =>
    books.some((book) => book.prefix === prefix);
  const gone = before.filter((book) => !has(after, book));
  const fresh = after.filter((book) => !has(before, book));
  const same = before.flatMap((old): [LoadedBook, LoadedBook][] => {
    const now = after.find(({ prefix }) => prefix === old.prefix);
    return now ? [[old, now]] : [];
  });
  if (gone.length === 1 && fresh.length === 1) return [...same, [gone[0], fresh[0]]];
  return [
    ...same,
    ...gone.map((book): [LoadedBook, undefined] => [book, undefined]),
    ...fresh.map((book): [undefined, LoadedBook] => [undefined, book]),
  ];
}

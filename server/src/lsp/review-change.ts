import { formatDay } from "../base/days.ts";
import type { BookOptions } from "../book/book.ts";
import { openBook } from "../book/open-book.ts";
import { commitOfRevision, readRevision } from "../host/git.ts";
import { changeReport } from "../output/change-of-books.ts";
import { changeText } from "../output/change-text.ts";
import { changeTextPlaces, type ToldPlace } from "../output/change-text-places.ts";
import { checkBook, reportedFindings } from "../output/check-book.ts";
import { NO_COLOURS } from "../output/colours.ts";
import { compareBooks } from "../output/compare-books.ts";
import type { LoadedBook } from "../output/loaded-book.ts";
import type { ReportedFinding } from "../output/report.ts";
import { pathWithin } from "./paths.ts";
import type { WorkspaceBook } from "./workspace.ts";

/** The revision that a change is compared with: the commit that the keeper works on. */
const BASE = "HEAD";

/** What the change that is not committed does to the season, to be read in the editor. */
export interface ChangeStory {
  readonly text: string;
  /** Files are told from the root of the book that was asked about. */
  readonly places: readonly ToldPlace[];
}

/** The last commit's books, kept for as long as it is the last one and they are judged by the same day. */
interface KnownBase {
  readonly root: string;
  readonly commit: string;
  readonly options: BookOptions;
  readonly books: readonly LoadedBook[];
  readonly findings: ReadonlyMap<LoadedBook, readonly ReportedFinding[]>;
}

/** Tells of changes, again and again while the keeper types: what was committed is read and judged once. */
export class ChangeReviews {
  #known: KnownBase | undefined;

  /**
   * Compares a book, and those that lie below it, as they stand in the editor, with the last commit: what `spadework diff HEAD`
   * tells of its folder, with what is not saved laid over the files. Runs git in the book's folder.
   *
   * @throws {GitTrouble} when there is no git, no repository, or no commit in it
   */
  async review({ root, live }: WorkspaceBook, books: () => readonly WorkspaceBook[]): Promise<ChangeStory> {
    const { options } = live.book;
    const base = await this.#baseOf(root, options);
    // What came in meanwhile counts: from here on nothing is waited for.
    const now = new Map<LoadedBook, WorkspaceBook>();
    for (const book of books()) {
      const prefix = pathWithin(root, book.root);
      if (prefix !== undefined) now.set({ opened: book.live.opened, prefix }, book);
    }
    const check = (loaded: LoadedBook): readonly ReportedFinding[] => {
      const book = now.get(loaded);
      if (!book) return base.findings.get(loaded) ?? [];
      return reportedFindings(
        loaded,
        [...book.live.allFindings()].flatMap(([, findings]) => findings),
      );
    };
    const compared = compareBooks(base.books, [...now.keys()], check);
    const report = changeReport(compared, BASE, undefined, formatDay(options.asOf));
    const text = changeText(report, NO_COLOURS);
    return { text, places: changeTextPlaces(text, report) };
  }

  async #baseOf(root: string, options: BookOptions): Promise<KnownBase> {
    const commit = await commitOfRevision(root, BASE);
    const known = this.#known;
    if (known?.root === root && known.commit === commit && isSameDay(known.options, options)) return known;
    const { books } = await readRevision(root, commit);
    const loaded = books.map(({ prefix, sources }): LoadedBook => ({ opened: openBook(sources, options), prefix }));
    const findings = new Map(loaded.map((book) => [book, checkBook(book)]));
    return (this.#known = { root, commit, options, books: loaded, findings });
  }
}

function isSameDay(a: BookOptions, b: BookOptions): boolean {
  return a.asOf === b.asOf && a.today === b.today && a.allSeasons === b.allSeasons;
}

/** The innermost book that a file or folder lies in, by absolute path. */
export function bookAround(path: string, books: readonly WorkspaceBook[]): WorkspaceBook | undefined {
  return [...books]
    .sort((a, b) => b.root.length - a.root.length)
    .find(({ root }) => pathWithin(root, path) !== undefined);
}

import { compareBooks, type ComparedBook } from "../output/compare-books.ts";
import type { LoadedBook } from "../output/loaded-book.ts";
import { checkBook } from "./check-book.ts";

/** What became of the books of a folder, judged by every rule. */
export function compareLoaded(before: readonly LoadedBook[], after: readonly LoadedBook[]): ComparedBook[] {
  return compareBooks(before, after, checkBook);
}

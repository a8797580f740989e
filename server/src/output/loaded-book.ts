import type { OpenedBook } from "../book/open-book.ts";

/** A book that an output tells of. */
export interface LoadedBook {
  readonly opened: OpenedBook;
  /** What stands before the book's own paths in an output: from the folder named on the command line. */
  readonly prefix: string;
  /** Absolute path of its folder; undefined for a book of another revision. */
  readonly root?: string;
}

/** @param path from the book's root */
export function fromFolder(prefix: string, path: string): string {
  return prefix === "" ? path : `${prefix}/${path}`;
}

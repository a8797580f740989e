import type { Span, TextEdit } from "../base/text.ts";
import type { Book } from "../book/book.ts";
import type { OpenedBook } from "../book/open-book.ts";
import type { RecordFile } from "../records/record-file.ts";

/** What every feature is asked with: a book, and the file of it that the editor shows. */
export interface FeatureContext {
  readonly opened: OpenedBook;
  readonly book: Book;
  readonly file: RecordFile;
}

/** A place in a file of the book; paths from the book's root, spans in that file's text. */
export interface FilePlace {
  readonly path: string;
  readonly span: Span;
}

/** Edits of several files of the book, by path. */
export type BookEdit = ReadonlyMap<string, readonly TextEdit[]>;

export function contextOf(opened: OpenedBook, path: string): FeatureContext | undefined {
  const file = opened.book.files.find((candidate) => candidate.path === path);
  return file && { opened, book: opened.book, file };
}

import type { Book } from "../book/book.ts";
import { entryIndex } from "../book/book-index.ts";
import type { RecordPlace } from "../records/finding.ts";
import { spanOfPlace } from "../records/places.ts";
import type { RecordFile } from "../records/record-file.ts";
import type { FilePlace } from "./context.ts";

const filesByPath = new WeakMap<readonly RecordFile[], ReadonlyMap<string, RecordFile>>();

export function fileOf(book: Book, path: string): RecordFile | undefined {
  let files = filesByPath.get(book.files);
  if (!files) filesByPath.set(book.files, (files = new Map(book.files.map((file) => [file.path, file]))));
  return files.get(path);
}

/** Where in the book's files a place stands; undefined for a record that is in none of them any more. */
export function filePlaceOf(book: Book, { record, pointer, part }: RecordPlace): FilePlace | undefined {
  const file = fileOf(book, record.file);
  const index = file ? entryIndex(file, record) : 0;
  if (file?.entries[index]?.body.record !== record) return undefined;
  return { path: file.path, span: spanOfPlace(file, index, pointer, part) };
}

export function filePlacesOf(book: Book, places: readonly RecordPlace[]): FilePlace[] {
  return places.flatMap((place) => filePlaceOf(book, place) ?? []);
}

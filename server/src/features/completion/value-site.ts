import type { Book } from "../../book/book.ts";
import type { Pointer } from "../../records/finding.ts";
import type { RecordFile } from "../../records/record-file.ts";
import type { FactRecord } from "../../records/record.ts";

/** A value that is being written, and what is known around it. */
export interface ValueSite {
  readonly book: Book;
  readonly file: RecordFile;
  /** The record as far as it can be read without what is being typed. */
  readonly record: FactRecord;
  /** Of the value, from the record. */
  readonly pointer: Pointer;
  /** The key the value, or the list it is in, stands under. */
  readonly key: string;
  /** The map that holds the key, as read. */
  readonly around: Readonly<Record<string, unknown>>;
  /** What the list already holds, where the value is an item of one. */
  readonly listed: readonly unknown[];
}

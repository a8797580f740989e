import type { Range } from "../base/text.ts";
import type { Level, RecordName, Suggestion } from "../records/finding.ts";

/** A finding as every output shows it: with its range in its file's text. */
export interface PublishedFinding {
  readonly code: string;
  readonly level: Level;
  /** From the book's root, with forward slashes. */
  readonly file: string;
  readonly range: Range;
  readonly message: string;
  readonly record: RecordName;
  /** The place in the record by names, as in `digs/d1/ratings`: it stays when lines move. Empty for the record as a whole. */
  readonly place: string;
  readonly related: readonly PublishedRelated[];
  /** The id of the field that the record belongs to, where it has one. */
  readonly field?: string;
  readonly suggestion?: Suggestion;
}

export interface PublishedRelated {
  readonly file: string;
  readonly range: Range;
  readonly message: string;
}

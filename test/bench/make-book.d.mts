export interface BookOptions {
  fields?: number;
  years?: number;
  /** Visits per field and year. */
  visits?: number;
  seed?: number;
  files?: "month" | "year";
  /** The share of visits followed by a full clean-down. */
  cleaned?: number;
  /** The share of fields with an older find. */
  known?: number;
}

/** A made-up record book: path (forward slashes) to text. The same options give the same bytes. */
export function makeBook(options?: BookOptions): Map<string, string>;

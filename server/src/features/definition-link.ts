import type { Span } from "../base/text.ts";

/** Where something under the cursor is defined. */
export interface DefinitionLink {
  /** The id under the cursor, in its file's text. */
  readonly origin: Span;
  /** The file in which it is defined, from the book's root; the other spans are in its text. */
  readonly path: string;
  /** What it names: the record, or the part of one. */
  readonly target: Span;
  /** The id in it. */
  readonly selection: Span;
}

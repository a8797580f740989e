import type { Span } from "../base/text.ts";

/** Where something under the cursor is defined. */
export interface DefinitionLink {
  /** The id under the cursor, in its file's text. */
  readonly origin: Span;
  /** The file in which it is defined, from the book's root; the other spans are in its text. */
  readonly path: string;
  /** The name of the pack that comes with Spadework in which it is defined: then `path` and the spans are of that pack's text. */
  readonly shippedPack?: string;
  /** What it names: the record, or the part of one. */
  readonly target: Span;
  /** The id in it. */
  readonly selection: Span;
}

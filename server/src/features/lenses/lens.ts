import type { Book } from "../../book/book.ts";
import type { RecordPlace } from "../../records/finding.ts";
import type { FactRecord } from "../../records/record.ts";
import type { Span } from "../../base/text.ts";
import type { FilePlace } from "../context.ts";
import { filePlacesOf } from "../places.ts";

/**
 * What a click on a lens opens: places in the records, or the movement of a field's soil, with the records of the chain
 * for an editor that has no view of it.
 */
export type LensTarget =
  | { readonly kind: "places"; readonly places: readonly FilePlace[] }
  | { readonly kind: "soil"; readonly field: string; readonly places: readonly FilePlace[] };

export interface CodeLens {
  /** The record's first key, in the file's text; the start of the file for a lens on all of it. */
  readonly span: Span;
  /** One line, safe whatever the records hold. */
  readonly title: string;
  /** Undefined where there is nothing to open. */
  readonly opens: LensTarget | undefined;
}

/** A lens without its place. */
export type LensText = Omit<CodeLens, "span">;

/** A target that shows places of the records; undefined where there is none to show. */
export function placesTarget(places: readonly RecordPlace[], book: Book): LensTarget | undefined {
  const found = filePlacesOf(book, places);
  return found.length > 0 ? { kind: "places", places: found } : undefined;
}

export function valueAt(record: FactRecord, ...pointer: (string | number)[]): RecordPlace {
  return { record, pointer, part: "value" };
}

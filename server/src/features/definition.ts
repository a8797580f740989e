import type { Span } from "../base/text.ts";
import { entryIndex } from "../book/book-index.ts";
import { spanOfPlace } from "../records/places.ts";
import type { FeatureContext } from "./context.ts";
import { idAt, placeOfDefinition } from "./id-places.ts";

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

/** Where the id at an offset is defined; undefined where there is no id, or none that the book defines. */
export function definition(context: FeatureContext, at: number): DefinitionLink | undefined {
  const asked = idAt(context, at);
  const place = asked?.definition && placeOfDefinition(context.book, asked.definition);
  if (!asked?.definition || !place) return undefined;
  const { file, record } = place;
  const target = spanOfPlace(file, entryIndex(file, record), asked.definition.pointer.slice(0, -1), "value");
  return { origin: asked.place.span, path: file.path, target, selection: place.span };
}

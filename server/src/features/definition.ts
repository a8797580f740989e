import { entryIndex } from "../book/book-index.ts";
import { spanOfPlace } from "../records/places.ts";
import type { FeatureContext } from "./context.ts";
import type { DefinitionLink } from "./definition-link.ts";
import { idAt, placeOfDefinition } from "./id-places.ts";
import { packDefinition } from "./packs/pack-definition.ts";

export type { DefinitionLink } from "./definition-link.ts";

/** Where the id at an offset is defined; undefined where there is no id, or none that the book defines. */
export function definition(context: FeatureContext, at: number): DefinitionLink | undefined {
  const asked = idAt(context, at);
  const place = asked?.definition && placeOfDefinition(context.book, asked.definition);
  if (!asked?.definition || !place) return packDefinition(context, at);
  const { file, record } = place;
  const target = spanOfPlace(file, entryIndex(file, record), asked.definition.pointer.slice(0, -1), "value");
  return { origin: asked.place.span, path: file.path, target, selection: place.span };
}

import type { FeatureContext, FilePlace } from "./context.ts";
import { idAt, placesOfId } from "./id-places.ts";

export interface ReferenceOptions {
  /** Whether the place that defines the id is one of its places. */
  readonly withDefinition: boolean;
}

/**
 * Every place in the book where the id at an offset is written, by file and place: boots as `boots/<id>`, patches of other
 * visits as `visit#patch`. An id that the book does not define has the other places where it is as unknown.
 */
export function references(context: FeatureContext, at: number, { withDefinition }: ReferenceOptions): FilePlace[] {
  const asked = idAt(context, at);
  if (!asked) return [];
  return placesOfId(context.book, asked)
    .filter(({ written }) => withDefinition || !written.isDefinition)
    .map(({ file, span }) => ({ path: file.path, span }));
}

import type { Span } from "../base/text.ts";
import type { FeatureContext } from "./context.ts";
import { idAt, placesOfId } from "./id-places.ts";

export interface DocumentHighlight {
  readonly span: Span;
  /** `definition` where the id is given, `use` where it is referred to. */
  readonly kind: "definition" | "use";
}

/** The places of the same id in the file that is shown. */
export function documentHighlights(context: FeatureContext, at: number): DocumentHighlight[] {
  const asked = idAt(context, at);
  if (!asked) return [];
  return placesOfId(context.book, asked, context.file).map(({ span, written }) => ({
    span,
    kind: written.isDefinition ? "definition" : "use",
  }));
}

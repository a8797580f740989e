import { element, type Child, type Markup } from "../markup.ts";
import type { MarkFacts, PictureOptions } from "./map-facts.ts";

/** A drawing with its text alternative: an image to be read as a whole, or a group of marks that each lead somewhere. */
export function picture(
  { width, prefix, interactive }: PictureOptions,
  height: number,
  { title, description, kind }: { readonly title: string; readonly description: string; readonly kind: string },
  ...children: readonly Child[]
): Markup {
  const [titleId, descriptionId] = [`${prefix}-title`, `${prefix}-description`];
  return element(
    "svg",
    {
      xmlns: "http://www.w3.org/2000/svg",
      class: `picture ${kind}`,
      viewBox: `0 0 ${Math.round(width)} ${Math.round(height)}`,
      role: interactive ? "group" : "img",
      "aria-labelledby": titleId,
      "aria-describedby": descriptionId,
    },
    element("title", { id: titleId }, title),
    element("desc", { id: descriptionId }, description),
    element("rect", { class: "sheet", width: Math.round(width), height: Math.round(height) }),
    children,
  );
}

/** Shapes that stand for one fact. */
export function mark(facts: MarkFacts, { interactive }: PictureOptions, kind: string, ...shapes: Child[]): Markup {
  const opens = interactive && facts.open !== undefined;
  return element(
    "g",
    {
      class: opens ? `mark ${kind}` : kind,
      role: opens ? "link" : undefined,
      tabindex: opens ? -1 : undefined,
      "aria-label": opens ? facts.label : undefined,
      "data-open": opens ? facts.open : undefined,
      "data-from": interactive ? facts.from : undefined,
      "data-since": interactive ? facts.since : undefined,
    },
    element("title", {}, facts.label),
    shapes,
  );
}

/** A text's width in units, about: the drawing is made where no letter can be measured. */
export function textWidth(text: string, size = 13): number {
  return text.length * size * 0.56;
}

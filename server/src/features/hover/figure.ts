import type { ShownFormula } from "../../agronomy/calculated.ts";
import type { Book } from "../../book/book.ts";
import { codeText, markdownText } from "../safe-text.ts";

/** A figure with how it comes about: plain text, not yet Markdown. */
export interface Figure {
  readonly says: string;
  readonly formulas: readonly string[];
  readonly notes?: readonly string[];
  readonly sources: readonly string[];
}

export function figureMarkdown({ says, formulas, notes = [], sources }: Figure): string {
  const lines = formulas.flatMap((formula) => formula.split("\n"));
  const parts = [markdownText(says, 400), ...lines.map(codeText)];
  if (notes.length > 0) parts.push(notes.map((note) => `- ${markdownText(capitalised(note), 300)}`).join("\n"));
  const unique = [...new Set(sources)];
  if (unique.length > 0) parts.push(`Source: ${unique.map((source) => markdownText(source, 300)).join("; ")}`);
  return parts.join("\n\n");
}

export function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

export function formulaOf(says: string, shown: ShownFormula, more: readonly string[] = []): Figure {
  return { says, formulas: [shown.formula], sources: [...shown.sources, ...more] };
}

/** The region's sources of figures, by their paths: `the region's cleaning.strength_percent: common practice, no source`. */
export function regionSources(book: Book, ...paths: string[]): string[] {
  return paths.flatMap((path) => {
    const sources = book.region.sources ?? {};
    return Object.hasOwn(sources, path) ? [`${path}: ${sources[path]!}`] : [];
  });
}

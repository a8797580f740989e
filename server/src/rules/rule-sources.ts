import type { Book } from "../book/book.ts";
import type { Rule } from "./rule.ts";

/** What a scouting window hangs on, whichever way the region counts it. */
export const WINDOW_FIGURES = [
  "scouting.opens_days_before_swath",
  "scouting.closes_days_after_swath",
  "scouting.opens_days_after_seeding",
  "scouting.closes_days_after_seeding",
];

/** Where something that a finding rests on comes from. */
export interface FigureSource {
  /** The paths in the region pack; empty for what a region's own check says of itself. */
  readonly figures: readonly string[];
  readonly source: string;
}

/**
 * The sources of the region's figures that a rule compares with, those with the same source together. What the book sets for
 * itself needs none, and neither does what nobody gives.
 */
export function sourcesOfRule(rule: Rule, book: Book): FigureSource[] {
  const bySource = new Map<string, string[]>();
  const sources = book.region.sources ?? {};
  for (const figure of rule.figures ?? []) {
    if (isTheBooksOwn(figure, book)) continue;
    const paths = Object.keys(sources).filter((path) => path === figure || path.startsWith(`${figure}.`));
    if (paths.length === 0) continue;
    // A group is told as one, with every source of its figures.
    const source = [...new Set(paths.map((path) => sources[path]!))].join("; ");
    const known = bySource.get(source);
    if (known) known.push(figure);
    else bySource.set(source, [figure]);
  }
  const found = [...bySource].map(([source, figures]) => ({ figures, source }));
  return rule.source === undefined ? found : [{ figures: [], source: rule.source }, ...found];
}

function isTheBooksOwn(figure: string, { season }: Book): boolean {
  const [group, name = ""] = figure.split(".");
  const own = group === "sampling" ? season.sampling : undefined;
  return own !== undefined && Object.hasOwn(own, name);
}

/** `Source of rotation.break_years: Peng et al. 2015` */
export function sourceInWords({ figures, source }: FigureSource): string {
  return figures.length === 0 ? `Source: ${source}` : `Source of ${figures.join(", ")}: ${source}`;
}

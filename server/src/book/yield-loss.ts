import { yieldLossRange, type Severity, type YieldLossRange, type YieldLossSlope } from "../agronomy/severity.ts";
import type { SeverityFigures } from "../schema/facts.ts";

/** Where a region's slopes of yield loss stand in its pack. */
export const YIELD_LOSS_PATHS = {
  dsi: "severity.yield_loss_percent_per_severity_percent",
  incidence: "severity.yield_loss_percent_per_incidence_percent",
} as const;

/**
 * The yield at stake over all slopes of a region: a range, as their sources disagree. Undefined where it has none.
 *
 * @param sourceOf the source of a figure, by its path in the pack
 */
export function yieldAtStake(
  found: Severity,
  figures: SeverityFigures | undefined,
  sourceOf: (path: string) => string | undefined,
): YieldLossRange | undefined {
  const byDsi = figures?.yield_loss_percent_per_severity_percent;
  const slope = (lossPerPercent: number | undefined, of: YieldLossSlope["of"], path: string): YieldLossSlope[] =>
    lossPerPercent === undefined ? [] : [{ lossPerPercent, of, source: sourceOf(path) ?? "no source given" }];
  const loss = yieldLossRange(found, [
    ...slope(byDsi?.low, "dsi", `${YIELD_LOSS_PATHS.dsi}.low`),
    ...slope(byDsi?.high, "dsi", `${YIELD_LOSS_PATHS.dsi}.high`),
    ...slope(figures?.yield_loss_percent_per_incidence_percent, "incidence", YIELD_LOSS_PATHS.incidence),
  ]);
  return loss.ok ? loss.value : undefined;
}

/** The formulas of `severity.ts` and `interval.ts` with the numbers in them. */
import { numberText, percentText, type ShownFormula } from "./calculated.ts";
import type { ProportionIntervals } from "./interval.ts";
import type { Severity, YieldLossRange } from "./severity.ts";

export function severityFormula(ratings: readonly number[], found: Severity): ShownFormula {
  const plants = numberText(found.plants);
  const points = ratings.map((count, rating) => `${rating}·${numberText(count)}`).join(" + ");
  return {
    formula:
      `incidence = ${numberText(found.infected)}/${plants}·100 = ${numberText(found.incidencePercent)} %; ` +
      `DSI = (${points})/(${ratings.length - 1}·${plants})·100 = ${numberText(found.dsiPercent)} %`,
    sources: ["Horsfall & Heuberger 1942; Strelkov et al. 2006 (from memory)"],
  };
}

export function intervalFormula(
  count: number,
  total: number,
  confidence: number,
  found: ProportionIntervals,
): ShownFormula {
  const { clopperPearson, wilson } = found;
  return {
    formula:
      `${numberText(count)}/${numberText(total)} = ${percentText(found.proportion)}; ${percentText(confidence)} ` +
      `interval: exact ${percentText(clopperPearson.lower)} to ${percentText(clopperPearson.upper)}, ` +
      `Wilson ${percentText(wilson.lower)} to ${percentText(wilson.upper)}`,
    sources: [
      "Clopper & Pearson 1934, Biometrika 26:404 (exact; from memory)",
      "Wilson 1927, J. Am. Stat. Assoc. 22:209, as in Newcombe 1998, Stat. Med. 17:857",
    ],
  };
}

/** The source of each slope stands in the order of the slopes. */
export function yieldLossFormula(
  found: Pick<Severity, "incidencePercent" | "dsiPercent">,
  loss: YieldLossRange,
): ShownFormula {
  const parts = loss.bySlope.map(({ slope, lossPercent }) => {
    const [name, percent] = slope.of === "dsi" ? ["DSI", found.dsiPercent] : ["incidence", found.incidencePercent];
    return `${numberText(slope.lossPerPercent)}·${numberText(percent)} % ${name} = ${numberText(lossPercent)} %`;
  });
  return {
    formula: `${parts.join("; ")}: ${numberText(loss.lowPercent)} to ${numberText(loss.highPercent)} % of the yield`,
    sources: loss.bySlope.map(({ slope }) => slope.source),
  };
}

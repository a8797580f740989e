import { numberText, type ShownFormula } from "../../agronomy/calculated.ts";
import { severityFormula, yieldLossFormula } from "../../agronomy/severity-formula.ts";
import {
  severity as severityOf,
  severityIntervals,
  type Severity,
  type YieldLossRange,
} from "../../agronomy/severity.ts";
import { yieldAtStake, YIELD_LOSS_PATHS } from "../../book/yield-loss.ts";
import { CommandFailure } from "../failure.ts";
import type { Calculation } from "./calculation.ts";
import { listOf, numberOf, valueOf } from "./input.ts";
import { intervalValues } from "./interval-values.ts";
import type { RegionFigures } from "./region-figures.ts";
import { confidenceOf, SAMPLING_OPTIONS } from "./sampling-input.ts";

/** Classes of the root scale, from 0 (no galls) on. */
const CLASSES = 4;

export const severity: Calculation = {
  name: "severity",
  usage: "N0 N1 N2 N3",
  summary: "disease severity index and incidence from plants rated 0, 1, 2 and 3",
  help:
    "Takes the plants rated 0, 1, 2 and 3 on the root scale, and gives the disease severity index (DSI), the incidence, their\n" +
    "intervals, and the yield at stake as a range over what the region's sources found.",
  examples: ["spadework calc severity 80 10 6 4", "spadework calc severity 80,10,6,4 --confidence 90% --format json"],
  options: { confidence: SAMPLING_OPTIONS.confidence },
  answer(input, region) {
    const ratings = input.positionals.flatMap(listOf).map((text) => numberOf(text, "a number of plants"));
    if (ratings.length !== CLASSES) {
      throw new CommandFailure(
        `calc severity takes the plants rated 0, 1, 2 and 3, such as 80 10 6 4; ${ratings.length} ` +
          `${ratings.length === 1 ? "number was" : "numbers were"} given`,
      );
    }
    const found = valueOf(severityOf(ratings));
    const confidence = confidenceOf(input, region);
    const ranges = valueOf(severityIntervals(ratings, confidence));
    const loss = yieldLoss(found, region);
    const between = ({ lower, upper }: { lower: number; upper: number }): string =>
      `${numberText(lower, 3)} to ${numberText(upper, 3)} %`;
    const yieldWords =
      loss &&
      found.infected > 0 &&
      ` Yield at stake: ${numberText(loss.lowPercent, 3)} to ${numberText(loss.highPercent, 3)} %.`;
    const formulas: ShownFormula[] = [severityFormula(ratings, found)];
    if (loss && found.infected > 0) formulas.push(yieldLossFormula(found, loss));
    return {
      says: [
        `DSI ${numberText(found.dsiPercent)} % (${between(ranges.dsi.clopperPearson)}), incidence ` +
          `${numberText(found.incidencePercent)} % (${between(ranges.incidence.clopperPearson)}).${yieldWords || ""}`,
      ],
      formulas,
      notes: [
        `In brackets: exact intervals at ${numberText(confidence * 100)} %; the DSI's is the mean of those of its classes, ` +
          "each widened so that together they hold.",
      ],
      values: {
        dsi_percent: found.dsiPercent,
        incidence_percent: found.incidencePercent,
        plants: found.plants,
        infected_plants: found.infected,
        dsi_percent_interval: intervalValues(ranges.dsi),
        incidence_percent_interval: intervalValues(ranges.incidence),
        yield_loss_percent: loss ? { low: loss.lowPercent, high: loss.highPercent } : null,
        inputs: { ratings, confidence },
      },
    };
  },
};

/** Over the region's slopes, each with its source; undefined where it has none. */
function yieldLoss(found: Severity, region: RegionFigures): YieldLossRange | undefined {
  const byDsi = region.find(YIELD_LOSS_PATHS.dsi, (pack) => pack.severity?.yield_loss_percent_per_severity_percent);
  const byIncidence = region.find(
    YIELD_LOSS_PATHS.incidence,
    (pack) => pack.severity?.yield_loss_percent_per_incidence_percent,
  );
  const figures = {
    ...(byDsi && { yield_loss_percent_per_severity_percent: byDsi }),
    ...(byIncidence !== undefined && { yield_loss_percent_per_incidence_percent: byIncidence }),
  };
  return yieldAtStake(found, figures, (path) => region.sourceOf(path));
}

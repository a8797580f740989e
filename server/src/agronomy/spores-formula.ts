/** The formulas of `spores.ts` and `pools.ts` with the numbers in them. */
import { numberText, percentText, type ShownFormula } from "./calculated.ts";
import type { PoolEstimate } from "./pools.ts";
import type { SporeDecline } from "./spores.ts";

/** `sources`: where the pack has the figures of the decline from. */
export function sporesFormula(
  sporesPerG: number,
  decline: SporeDecline,
  years: number,
  sporesLeftPerG: number,
  sources: readonly string[],
): ShownFormula {
  return {
    formula:
      `${numberText(sporesPerG)}·${shareLeftText(decline, numberText(years))} = ` +
      `${numberText(sporesLeftPerG)} spores/g after ${numberText(years)} years without a host`,
    sources,
  };
}

export function yearsUntilLevelFormula(
  sporesPerG: number,
  level: number,
  decline: SporeDecline,
  years: number,
  sources: readonly string[],
): ShownFormula {
  return {
    formula:
      `${numberText(sporesPerG)}·${shareLeftText(decline, "t")} = ${numberText(level)} at t = ` +
      `${numberText(years)} years without a host`,
    sources,
  };
}

function shareLeftText(decline: SporeDecline, years: string): string {
  if (decline.kind === "half-life") return `0.5^(${years}/${numberText(decline.halfLifeYears)})`;
  return (
    `(${numberText(decline.fastShare)}·0.5^(${years}/${numberText(decline.fastHalfLifeYears)}) + ` +
    `${numberText(1 - decline.fastShare)}·0.5^(${years}/${numberText(decline.slowHalfLifeYears)}))`
  );
}

export function poolFormula(
  positive: number,
  pools: number,
  size: number,
  confidence: number,
  found: PoolEstimate,
): ShownFormula {
  const [x, n, k] = [numberText(positive), numberText(pools), numberText(size)];
  return {
    formula:
      `p = 1 − (1 − x/n)^(1/k) = 1 − (1 − ${x}/${n})^(1/${k}) = ${numberText(found.estimate)}; with Burrows' ` +
      `ν = (k − 1)/(2k): 1 − (1 − ${x}/(${n} + ${numberText((size - 1) / (2 * size))}))^(1/${k}) = ` +
      `${numberText(found.burrows)}; ${percentText(confidence)} interval ${numberText(found.interval.lower)} to ` +
      numberText(found.interval.upper),
    sources: [
      "Burrows 1987, Phytopathology 77:363 (from memory)",
      "interval: Clopper & Pearson 1934 on the pools, carried over (from memory)",
    ],
  };
}

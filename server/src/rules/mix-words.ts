import { mixingTraps } from "../agronomy/mixing-traps.ts";
import { mixFor } from "../agronomy/mixing.ts";
import { figure } from "../base/words.ts";
import { productName } from "../book/clean-down-words.ts";
import type { RelatedPlace } from "../records/finding.ts";
import type { FactRecord } from "../records/record.ts";
import type { StepRecord } from "../schema/facts.ts";

/** `the mix (2 L of 5.25 % bleach in 20 L of water, 1:10)`: the parts where they are whole. */
export function mixInWords(step: StepRecord): string {
  const { stock_percent: stock = 0, stock_l: stockLitres = 0, water_l: waterLitres = 0 } = step;
  const parts = figure(waterLitres / stockLitres);
  const ratio = /^[1-9]\d*$/.test(parts) ? `, 1:${parts}` : "";
  return `the mix (${figure(stockLitres)} L of ${figure(stock)} % ${productName(step)} in ${figure(waterLitres)} L of water${ratio})`;
}

/**
 * `1 % takes 4.25 L of water to each litre of 5.25 % bleach`: parts of water = stock % / wanted % − 1 (CDC, Best Practices for
 * Environmental Cleaning, appendix E), rounded down so that no mix comes out too weak.
 *
 * @returns undefined where the stock's strength is not recorded
 */
export function recipeInWords(step: StepRecord, wantedPercent: number): string | undefined {
  const stock = step.stock_percent;
  if (stock === undefined) return undefined;
  const mix = mixFor(stock, wantedPercent, 1);
  const name = `${figure(stock)} % ${productName(step)}`;
  if (!mix.ok)
    return stock < wantedPercent ? `${name} is too weak for ${figure(wantedPercent)} % even undiluted` : undefined;
  const parts = Math.floor(mix.value.partsWater * 100 * (1 + 1e-12)) / 100;
  if (parts === 0) return `${name} is to be used undiluted for ${figure(wantedPercent)} %`;
  return `${figure(wantedPercent)} % takes ${figure(parts)} L of water to each litre of ${name}`;
}

/** Where the record itself writes the mix in a way that reads stronger than it is: "1:10", "10 % bleach". */
export function trapsIn(record: FactRecord<"cleanings">, stepIndex: number, wantedPercent: number): RelatedPlace[] {
  const step = record.facts.steps?.[stepIndex];
  if (step?.stock_percent === undefined) return [];
  const stock = step.stock_percent;
  return (["product", "note"] as const).flatMap((key) =>
    mixingTraps(step[key] ?? "", stock, wantedPercent)
      .filter((trap) => trap.tooWeak)
      .slice(0, 1)
      .map(({ explanation }) => ({
        place: { record, pointer: ["steps", stepIndex, key], part: "value" as const },
        message: explanation.replace(/\.$/, ""),
      })),
  );
}

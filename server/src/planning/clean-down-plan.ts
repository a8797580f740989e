import { mixFor } from "../agronomy/mixing.ts";
import type { Book } from "../book/book.ts";
import { productName } from "../book/clean-down-words.ts";
import { isKind, type FactRecord } from "../records/record.ts";
import type { PlanFigures } from "./plan-figures.ts";

/** One full clean-down as it is to be done at a field's edge. */
export interface CleanDownPlan {
  readonly product: string;
  readonly stockPercent: number;
  /** Whether the stock's strength is the crew's own last one, or the region's figure. */
  readonly isStockRecorded: boolean;
  readonly strengthPercent: number;
  readonly litres: number;
  /** Undefined where the stock is too weak for the strength that is asked. */
  readonly mix: { readonly stockL: number; readonly waterL: number } | undefined;
  readonly rinseWaterL: number;
  readonly contactMinutes: number;
  /** Undefined where the region does not say: then the label does. */
  readonly keepsHours: number | undefined;
}

const ML_PER_L = 1000;
/** Stock is measured in whole tens of millilitres, and rounded up so that no mix comes out too weak. */
const ML_STEP = 10;

/** @param litres of mix wanted for one clean-down; left out, the region's figure */
export function cleanDownPlan(
  book: Book,
  kit: readonly string[],
  figures: PlanFigures,
  litres = figures.mix_l,
): CleanDownPlan {
  const used = lastDisinfectant(book, kit);
  const stockPercent = used?.stockPercent ?? figures.stock_percent;
  const { strengthPercent, contactMinutes, rinse_water_l: rinseWaterL } = figures;
  const mix = mixFor(stockPercent, strengthPercent, litres);
  const stockMl = mix.ok ? Math.min(litres * ML_PER_L, Math.ceil(mix.value.stockMl / ML_STEP) * ML_STEP) : 0;
  return {
    product: used?.product ?? "bleach",
    stockPercent,
    isStockRecorded: used !== undefined,
    strengthPercent,
    litres,
    mix: mix.ok ? { stockL: stockMl / ML_PER_L, waterL: (litres * ML_PER_L - stockMl) / ML_PER_L } : undefined,
    rinseWaterL,
    contactMinutes,
    keepsHours: book.region.cleaning?.mix_keeps_hours,
  };
}

/** What these carriers were disinfected with last, where its strength was recorded. */
function lastDisinfectant(
  book: Book,
  kit: readonly string[],
): { readonly product: string; readonly stockPercent: number } | undefined {
  for (const id of kit) {
    for (const { record } of [...book.carrierHistory(id).cleanings].reverse()) {
      if (!isKind(record as FactRecord, "cleanings")) continue;
      const steps = (record as FactRecord<"cleanings">).facts.steps ?? [];
      const step = steps.findLast((one) => one.step === "disinfect" && one.stock_percent !== undefined);
      if (step?.stock_percent !== undefined && step.stock_percent > 0 && step.stock_percent <= 100)
        return { product: productName(step), stockPercent: step.stock_percent };
    }
  }
  return undefined;
}

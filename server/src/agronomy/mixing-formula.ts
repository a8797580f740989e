/** The formulas of `mixing.ts` with the numbers in them. */
import { numberText, type ShownFormula } from "./calculated.ts";
import type { Mix } from "./mixing.ts";

const SOURCES = ["CDC, Best Practices for Environmental Cleaning, appendix E"];

export function mixFormula(stockPercent: number, wantedPercent: number, litres: number, mix: Mix): ShownFormula {
  return {
    formula:
      `stock = wanted/stock·amount = ${numberText(wantedPercent)} %/${numberText(stockPercent)} %·` +
      `${numberText(litres * 1000)} mL = ${numberText(mix.stockMl)} mL, with ${numberText(mix.waterMl)} mL of water ` +
      `(${numberText(mix.partsWater)} parts of water to 1 of stock)`,
    sources: SOURCES,
  };
}

export function strengthFormula(
  stockPercent: number,
  stockLitres: number,
  waterLitres: number,
  strengthPercent: number,
): ShownFormula {
  return {
    formula:
      `strength = stock %·stock/(stock + water) = ${numberText(stockPercent)} %·${numberText(stockLitres)}/` +
      `(${numberText(stockLitres)} + ${numberText(waterLitres)}) = ${numberText(strengthPercent)} %`,
    sources: SOURCES,
  };
}

export function powderFormula(
  powderPercent: number,
  wantedPercent: number,
  litres: number,
  powder: { readonly gramsPerLitre: number; readonly grams: number },
): ShownFormula {
  return {
    formula:
      `powder = wanted/powder·1000 = ${numberText(wantedPercent)} %/${numberText(powderPercent)} %·1000 = ` +
      `${numberText(powder.gramsPerLitre)} g/L, ${numberText(powder.grams)} g in ${numberText(litres)} L`,
    sources: SOURCES,
  };
}

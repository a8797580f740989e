import { cannot, numberText } from "../../agronomy/calculated.ts";
import { mixFormula, powderFormula, strengthFormula } from "../../agronomy/mixing-formula.ts";
import { mixingTraps, type MixingTrap } from "../../agronomy/mixing-traps.ts";
import { mixFor, mixingCautions, powderFor, strengthFromVolumes } from "../../agronomy/mixing.ts";
import { CommandFailure } from "../failure.ts";
import type { Answer, Calculation } from "./calculation.ts";
import { percentOf, valueOf, type CalcInput } from "./input.ts";
import type { RegionFigures } from "./region-figures.ts";

const USAGE = "--stock 5.25% --litres N [--strength 1%]";

export const mix: Calculation = {
  name: "mix",
  usage: USAGE,
  summary: "how much stock and water, or how strong a mix is",
  help:
    "Volumes for an amount of a wanted strength (--litres), the strength of a mix from its volumes (--stock-litres and\n" +
    "--water-litres), what a recipe really gives (--recipe), or grams of a powder (--powder). The strength wanted is the\n" +
    "region's unless --strength says otherwise. The product's label and local rules come before all of it.",
  examples: [
    "spadework calc mix --stock 5.25% --strength 1% --litres 10",
    "spadework calc mix --stock 5.25% --recipe 1:10",
    'spadework calc mix --stock 5.25% --recipe "10 % bleach"',
    "spadework calc mix --stock 5.25% --stock-litres 2 --water-litres 8.5",
    "spadework calc mix --powder 35% --strength 0.5% --litres 10",
  ],
  options: {
    stock: { type: "string", value: "PERCENT", help: "strength of the stock, by its label" },
    powder: { type: "string", value: "PERCENT", help: "strength of a powder, by its label, instead of --stock" },
    strength: { type: "string", value: "PERCENT", help: "strength wanted" },
    litres: { type: "string", value: "N", help: "amount to mix" },
    "stock-litres": { type: "string", value: "N", help: "stock in a mix that is there already" },
    "water-litres": { type: "string", value: "N", help: "water in it" },
    recipe: { type: "string", value: "TEXT", help: 'a recipe as it is told: 1:10, "10 % bleach"' },
  },
  answer(input, region) {
    input.noPositionals(USAGE);
    const answer = answerOf(input, region);
    const cautions = mixingCautions(region.find("cleaning.mix_keeps_hours", (pack) => pack.cleaning?.mix_keeps_hours));
    return {
      ...answer,
      notes: [...(answer.notes ?? []), ...cautions.map(({ text, source }) => `${text} (${source})`)],
      values: { ...answer.values, cautions },
    };
  },
};

function answerOf(input: CalcInput, region: RegionFigures): Answer {
  const stock = input.percent("stock");
  const powder = input.percent("powder");
  if (stock !== undefined && powder !== undefined)
    throw new CommandFailure("give either --stock or --powder, not both");
  if (stock === undefined && powder === undefined) {
    throw new CommandFailure(
      "say how strong the stock is, as its label has it, such as --stock 5.25% (or --powder 35%)",
    );
  }
  const volumes = ["stock-litres", "water-litres"].filter((option) => input.text(option) !== undefined);
  const recipe = input.text("recipe");
  if (powder !== undefined) {
    if (recipe !== undefined || volumes.length > 0) throw new CommandFailure("a powder takes --litres and --strength");
    return ofPowder(powder, input, region);
  }
  if (volumes.length > 0 && (recipe !== undefined || input.text("litres") !== undefined)) {
    throw new CommandFailure("a mix that is there already takes --stock-litres and --water-litres alone");
  }
  const percent = stock ?? 0;
  if (recipe !== undefined) return ofRecipe(percent, recipe, input, region);
  return volumes.length > 0 ? ofVolumes(percent, input, region) : forAmount(percent, input, region);
}

function wantedStrength(input: CalcInput, region: RegionFigures): number {
  return (
    input.percent("strength") ??
    region.need("cleaning.strength_percent", "strength", (pack) => pack.cleaning?.strength_percent)
  );
}

function litresOf(input: CalcInput): number {
  const litres = input.number("litres");
  if (litres === undefined) throw new CommandFailure("say how much to mix, such as --litres 10");
  return litres;
}

function forAmount(stock: number, input: CalcInput, region: RegionFigures): Answer {
  const strength = wantedStrength(input, region);
  const litres = litresOf(input);
  const mixed = mixFor(stock, strength, litres);
  if (!mixed.ok) {
    // "10 %" of a household bleach is told as a strength, and is a share.
    const [trap] = strength > stock ? mixingTraps(`${numberText(strength)} % bleach`, stock, strength) : [];
    if (!trap) return valueOf(cannot(mixed.error));
    const { error } = mixed;
    throw new CommandFailure(`${error.charAt(0).toLowerCase()}${error.slice(1)} ${trap.explanation}`);
  }
  const { stockMl, waterMl, partsWater } = mixed.value;
  return {
    says: [
      `${numberText(stockMl)} mL of ${numberText(stock)} % stock and ${numberText(waterMl)} mL of water make ` +
        `${numberText(litres)} L of ${numberText(strength)} %.`,
    ],
    formulas: [mixFormula(stock, strength, litres, mixed.value)],
    values: {
      stock_ml: stockMl,
      water_ml: waterMl,
      parts_water: partsWater,
      strength_percent: strength,
      inputs: { stock_percent: stock, litres },
    },
  };
}

function ofVolumes(stock: number, input: CalcInput, region: RegionFigures): Answer {
  const stockLitres = input.number("stock-litres");
  const waterLitres = input.number("water-litres");
  if (stockLitres === undefined || waterLitres === undefined) {
    throw new CommandFailure("a mix has stock and water in it: give both --stock-litres and --water-litres");
  }
  const strength = valueOf(strengthFromVolumes(stock, stockLitres, waterLitres));
  return {
    says: [`The mix is ${numberText(strength)} %${verdict(strength, wantedStrength(input, region))}.`],
    formulas: [strengthFormula(stock, stockLitres, waterLitres, strength)],
    values: {
      stock_ml: stockLitres * 1000,
      water_ml: waterLitres * 1000,
      parts_water: stockLitres === 0 ? null : waterLitres / stockLitres,
      strength_percent: strength,
      inputs: { stock_percent: stock, wanted_percent: wantedStrength(input, region) },
    },
  };
}

function verdict(strength: number, wanted: number): string {
  return strength < wanted ? `, less than the ${numberText(wanted)} % wanted` : "";
}

function ofRecipe(stock: number, recipe: string, input: CalcInput, region: RegionFigures): Answer {
  const strength = wantedStrength(input, region);
  const [trap, ...others] = recipesIn(recipe, stock, strength);
  if (!trap) {
    throw new CommandFailure(`"${recipe}" is no recipe that is understood; write 1:10 or "10 % bleach"`);
  }
  const litres = input.text("litres") === undefined ? undefined : litresOf(input);
  const made = litres === undefined ? undefined : valueOf(mixFor(stock, trap.strengthPercent, litres));
  const amount =
    made === undefined
      ? []
      : [
          `${numberText(litres ?? 0)} L of it are ${numberText(made.stockMl)} mL of stock and ${numberText(made.waterMl)} mL of water.`,
        ];
  const right = mixFor(stock, strength, 1);
  const instead = right.ok
    ? ` For ${numberText(strength)} % take ${numberText(right.value.partsWater)} parts of water to 1 of stock.`
    : "";
  return {
    says: [`${trap.explanation}${trap.tooWeak ? instead : ""}`, ...others.map((one) => one.explanation), ...amount],
    formulas: [recipeFormula(trap, stock)],
    values: {
      strength_percent: trap.strengthPercent,
      too_weak: trap.tooWeak,
      stock_ml: made?.stockMl ?? null,
      water_ml: made?.waterMl ?? null,
      parts_water: stock / trap.strengthPercent - 1,
      inputs: { recipe, stock_percent: stock, wanted_percent: strength, litres: litres ?? null },
    },
  };
}

/** The recipes in a text, also where one is told without its noun: `10%`. */
function recipesIn(recipe: string, stock: number, strength: number): readonly MixingTrap[] {
  const traps = mixingTraps(recipe, stock, strength);
  if (traps.length > 0 || !/^[\d., ]{1,12}%$/.test(recipe.trim())) return traps;
  return mixingTraps(`${numberText(percentOf(recipe, "--recipe"))} % bleach`, stock, strength);
}

function recipeFormula(trap: MixingTrap, stock: number): Answer["formulas"][number] {
  const share = trap.strengthPercent / stock;
  return strengthFormula(stock, share, 1 - share, trap.strengthPercent);
}

function ofPowder(powder: number, input: CalcInput, region: RegionFigures): Answer {
  const strength = wantedStrength(input, region);
  const litres = litresOf(input);
  const found = valueOf(powderFor(powder, strength, litres));
  return {
    says: [
      `${numberText(found.grams)} g of ${numberText(powder)} % powder make ${numberText(litres)} L of ` +
        `${numberText(strength)} %, ${numberText(found.gramsPerLitre)} g in each litre.`,
    ],
    formulas: [powderFormula(powder, strength, litres, found)],
    values: {
      grams: found.grams,
      grams_per_litre: found.gramsPerLitre,
      strength_percent: strength,
      inputs: { powder_percent: powder, litres },
    },
  };
}

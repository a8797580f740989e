import { strengthFromVolumes } from "../../agronomy/mixing.ts";
import { figure, figuresApart } from "../../base/words.ts";
import { productName } from "../../book/clean-down-words.ts";
import type { StepRecord } from "../../schema/facts.ts";
import { mixInWords, recipeInWords, trapsIn } from "../mix-words.ts";
import { recordRule } from "../rule.ts";

export default recordRule({
  code: "cleaning/mix-mismatch",
  level: "warning",
  figures: ["cleaning.mix_tolerance_percent"],
  kinds: ["cleanings"],
  check(record, book, report) {
    const { mix_tolerance_percent: tolerance, strength_percent: asked } = book.region.cleaning ?? {};
    if (tolerance === undefined || !book.hasHappened(record) || !book.isInSight(record)) return;
    record.facts.steps?.forEach((step, index) => {
      const { strength_percent: recorded, stock_percent: stock, stock_l: stockLitres, water_l: waterLitres } = step;
      if (step.step !== "disinfect" || recorded === undefined) return;
      if (stock === undefined || stockLitres === undefined || waterLitres === undefined) return;
      const made = strengthFromVolumes(stock, stockLitres, waterLitres);
      const isNear = (strength: number): boolean =>
        Math.abs(strength - recorded) <= (recorded * tolerance) / 100 + ROUNDING;
      if (!made.ok || isNear(made.value)) return;
      const mixUp = mixUpOf(step, isNear);
      // Where the recorded figure is no strength at all, the strength to mix is the region's.
      const wanted = mixUp ? asked : recorded;
      const recipe = wanted === undefined ? undefined : recipeInWords(step, wanted);
      // A share of litres may fall just short of the half that is rounded up.
      const [is, written] = figuresApart(Number(made.value.toPrecision(12)), recorded);
      report({
        place: { record, pointer: ["steps", index, "strength_percent"], part: "value" },
        message:
          `${mixInWords(step)} comes to ${is} %, not the ${written} % recorded${mixUp ? `, which is ${mixUp}` : ""}; ` +
          `correct the figure that is wrong${recipe ? ` (${recipe})` : ""}`,
        related: trapsIn(record, index, asked ?? recorded),
      });
    });
  },
});

/** In percent; a mix that is off by just the tolerance is not off by more. */
const ROUNDING = 1e-9;

/** What else the recorded figure may be: the stock's own strength, or the share of stock in the mix or to its water. */
function mixUpOf(step: StepRecord, isNear: (percent: number) => boolean): string | undefined {
  const { stock_percent: stock = 0, stock_l: stockLitres = 0, water_l: waterLitres = 0 } = step;
  if (isNear(stock)) return `the strength of the ${productName(step)} as bought`;
  const shares = [stockLitres / (stockLitres + waterLitres), stockLitres / waterLitres].map((share) => share * 100);
  return shares.some((share) => Number.isFinite(share) && isNear(share))
    ? `the share of ${figure(stock)} % ${productName(step)} in the mix and not its strength`
    : undefined;
}

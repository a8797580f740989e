import { figuresApart } from "../../base/words.ts";
import { productName } from "../../book/clean-down-words.ts";
import { disinfectStrength } from "../../soil/clean-down.ts";
import { mixInWords, recipeInWords, trapsIn } from "../mix-words.ts";
import { recordRule } from "../rule.ts";

/** A mix worked out from litres may miss a round figure by a rounding error; that much is not a weak mix. */
const ROUNDING = 1e-9;

export default recordRule({
  code: "cleaning/strength-too-low",
  level: "warning",
  figures: ["cleaning.strength_percent"],
  kinds: ["cleanings"],
  check(record, book, report) {
    const asked = book.region.cleaning?.strength_percent;
    if (asked === undefined || !book.hasHappened(record) || !book.isInSight(record)) return;
    record.facts.steps?.forEach((step, index) => {
      const strength = step.step === "disinfect" ? disinfectStrength(step) : undefined;
      if (!strength || strength.percent >= asked * (1 - ROUNDING)) return;
      const [is, wanted] = figuresApart(strength.percent, asked);
      const what = strength.computed ? mixInWords(step) : productName(step);
      const recipe = recipeInWords(step, asked);
      report({
        place: {
          record,
          pointer: ["steps", index, strength.computed ? "stock_percent" : "strength_percent"],
          part: "value",
        },
        message:
          `${what} at ${is} % is too weak where ${wanted} % is asked${recipe ? ` (${recipe})` : ""}; ` +
          "disinfect again at full strength before the next field, by the label",
        related: trapsIn(record, index, asked),
      });
    });
  },
});

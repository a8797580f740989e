import { movesBetweenFields } from "../../book/carrier-history.ts";
import { isMoveInSight, moveInWords, placeOfCarrier, remedy, visitBefore } from "../carrier-words.ts";
import { carrierRule } from "../rule.ts";

export default carrierRule({
  code: "cleaning/missing",
  level: "warning",
  check(carrier, book, report) {
    for (const move of movesBetweenFields(carrier)) {
      if (move.cleanings.length > 0 || !isMoveInSight(move, book)) continue;
      report({
        place: placeOfCarrier(carrier, move.to),
        message:
          `${moveInWords(carrier, move, book)} with no cleaning recorded in between; record the clean-down if it was done, ` +
          `and if not, ${remedy(carrier, move, book)}`,
        related: [visitBefore(carrier, move, book)],
      });
    }
  },
});

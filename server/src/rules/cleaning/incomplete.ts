import {
  bestPartialCleaning,
  movesBetweenFields,
  soilLeftAfter,
  type CarrierCleaning,
} from "../../book/carrier-history.ts";
import { shortcomingsInWords } from "../../book/clean-down-words.ts";
import { shareInWords } from "../../book/exposure-words.ts";
import {
  isMoveInSight,
  moveInWords,
  placeOfCarrier,
  placeOfShortfall,
  remedy,
  stepsOf,
  visitBefore,
} from "../carrier-words.ts";
import { carrierRule } from "../rule.ts";

export default carrierRule({
  code: "cleaning/incomplete",
  level: "warning",
  figures: ["cleaning.strength_percent", "cleaning.contact_minutes", "cleaning.soil_left"],
  check(carrier, book, report) {
    for (const move of movesBetweenFields(carrier)) {
      if (move.cleanings.some((cleaning) => cleaning.result.full) || !isMoveInSight(move, book)) continue;
      const best = bestPartialCleaning(move.cleanings);
      if (!best) continue;
      const lacks = shortcomingsInWords(best.result.shortcomings, stepsOf(best));
      const soilLeft = book.region.cleaning?.soil_left
        ? ` (${shareInWords(soilLeftAfter(move.cleanings))} of the soil left)`
        : "";
      report({
        place: placeOfCarrier(carrier, move.to),
        message:
          `${moveInWords(carrier, move, book)} after ${cleaningsInWords(move.cleanings, best)}: ${lacks}${soilLeft}; ` +
          remedy(carrier, move, book),
        related: [
          { place: placeOfShortfall(best), message: `the cleaning that fell short: ${lacks}` },
          visitBefore(carrier, move, book),
        ],
      });
    }
  },
});

function cleaningsInWords(cleanings: readonly CarrierCleaning[], best: CarrierCleaning): string {
  if (cleanings.length === 1) return "a cleaning that fell short";
  return `${cleanings.length} cleanings that fell short, of which ${best.record.id} was best`;
}

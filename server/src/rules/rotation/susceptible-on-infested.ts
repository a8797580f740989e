import { parseDay } from "../../base/days.ts";
import { dayInWords } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { hostYears, isGrown, isRotationYearInSight } from "../../book/rotation.ts";
import type { FieldCrop } from "../../book/field-history.ts";
import { fieldRule } from "../rule.ts";

export default fieldRule({
  code: "rotation/susceptible-on-infested",
  level: "error",
  check(field, book, report) {
    const { confirmed } = field;
    if (!confirmed) return;
    for (const { crop } of hostYears(field)) {
      const rating = crop.facts.resistance?.rating;
      if (rating === "R" || rating === "MR" || !isRotationYearInSight(crop.year, book)) continue;
      if (confirmed.day >= seedingDay(crop, book)) continue;
      const grown = isGrown(crop, book);
      const standing = rating === undefined ? "has no clubroot rating on record" : `is rated ${rating}`;
      const next = `${grown ? "the next time choose" : "choose"} a resistant variety, or better a crop that is no host`;
      report({
        place: { record: crop.record, pointer: ["crops", crop.index, "crop"], part: "value" },
        message:
          `${crop.facts.crop ?? "the host crop"} on ${field.name} in ${crop.year} ${standing}, and clubroot was found there ` +
          `on ${dayInWords(confirmed.day, book.seasonYear)}${grown ? ", before it was seeded" : ""}; ` +
          `${rating === undefined ? "record its rating if it has one, or " : ""}${next}`,
        related: [{ place: confirmed.place, message: "the find" }],
      });
    }
  },
});

/** The day written down, planned ones too; without one the first of the season, so that no find of that season counts. */
function seedingDay(crop: FieldCrop, book: Book): number {
  return parseDay(crop.facts.seeded ?? "") ?? book.firstDayOfSeason(crop.year);
}

import { MINUTES_PER_DAY } from "../../base/days.ts";
import { dayInWords } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { placesOfChain } from "../../book/exposure-words.ts";
import type { FieldCrop, FieldHistory } from "../../book/field-history.ts";
import { hostYears, isGrown, isRotationYearInSight } from "../../book/rotation.ts";
import type { RelatedPlace } from "../../records/finding.ts";
import { fieldRule } from "../rule.ts";

export default fieldRule({
  code: "rotation/same-resistance",
  level: "warning",
  figures: ["trace.look_back_days"],
  check(field, book, report) {
    for (const { crop, cropBefore } of hostYears(field)) {
      const source = sourceOf(crop);
      if (!cropBefore || source === "" || source !== sourceOf(cropBefore)) continue;
      if (!isRotationYearInSight(crop.year, book)) continue;
      const pressure = pressureOn(field, book);
      if (!pressure) return;
      report({
        place: { record: crop.record, pointer: ["crops", crop.index, "crop"], part: "value" },
        message:
          `${nameOf(crop)} on ${field.name} in ${crop.year} relies on the same resistance, ` +
          `"${crop.facts.resistance?.source?.trim() ?? ""}", as ${nameOf(cropBefore)} in ${cropBefore.year}, and ` +
          `${pressure.reason}; choose another source of resistance${isGrown(crop, book) ? " the next time" : ""}`,
        related: [
          {
            place: {
              record: cropBefore.record,
              pointer: ["crops", cropBefore.index, "resistance", "source"],
              part: "value",
            },
            message: `the same resistance in ${cropBefore.year}`,
          },
          ...pressure.places,
        ],
      });
    }
  },
});

/** Why the disease may be there to wear a resistance out: the field is confirmed or exposed. Undefined where it is neither. */
function pressureOn(
  field: FieldHistory,
  book: Book,
): { readonly reason: string; readonly places: readonly RelatedPlace[] } | undefined {
  const { confirmed } = field;
  if (confirmed) {
    const reason = `clubroot was found there on ${dayInWords(confirmed.day, book.seasonYear)}`;
    return { reason, places: [{ place: confirmed.place, message: "the find" }] };
  }
  const exposure = book.exposureOf(field.id);
  if (!exposure) return undefined;
  const arrived = dayInWords(Math.floor(exposure.arrived / MINUTES_PER_DAY), book.seasonYear);
  return {
    reason: `soil of an infested field may have come there on ${arrived}`,
    places: placesOfChain(exposure.chain, book),
  };
}

/** Two ways to write one name are no two sources. */
function sourceOf(crop: FieldCrop): string {
  return crop.facts.resistance?.source?.trim().toLowerCase() ?? "";
}

function nameOf(crop: FieldCrop): string {
  return crop.facts.crop ?? "the host crop";
}

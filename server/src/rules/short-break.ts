import { plural } from "../base/words.ts";
import type { Book } from "../book/book.ts";
import type { FieldCrop, FieldHistory } from "../book/field-history.ts";
import { isGrown, yearsInWords, type RestFromHosts } from "../book/rotation.ts";
import type { Report } from "./rule.ts";

/** What both rules on breaks say of a host crop that came, or is to come, too soon. `required` in years. */
export function shortBreakReport(
  field: FieldHistory,
  crop: FieldCrop,
  rest: RestFromHosts,
  required: number,
  circumstance: string,
  book: Book,
): Report {
  const { record, index, facts, year } = crop;
  const { since, years, missing } = rest;
  const before = since.isHost ? nameOf(since) : `volunteers in ${nameOf(since)}`;
  const gap = missing.length > 0 ? ` (nothing is recorded for ${yearsInWords(missing)}, so that does not count)` : "";
  return {
    place: { record, pointer: ["crops", index, "crop"], part: "value" },
    message:
      `${facts.crop ?? "a host"} on ${field.name} in ${year} follows ${before} in ${since.year} after ` +
      `${years === 0 ? "no year" : plural(years, "year")} without a host${gap}, where ${required} ` +
      `${required === 1 ? "is" : "are"} needed${circumstance}; ${whatNext(crop, rest, required, book)}`,
    related: [
      {
        place: {
          record: since.record,
          pointer: ["crops", since.index, since.isHost ? "crop" : "volunteers"],
          part: "value",
        },
        message: `${before} in ${since.year}`,
      },
    ],
  };
}

function whatNext(crop: FieldCrop, rest: RestFromHosts, required: number, book: Book): string {
  if (rest.missing.length > 0 && rest.years + rest.missing.length >= required)
    return "record what grew in the missing years";
  if (isGrown(crop, book)) return `grow no host there again before ${crop.year + required + 1}`;
  return `grow no host there before ${rest.since.year + required + rest.missing.length + 1}`;
}

function nameOf(crop: FieldCrop): string {
  return crop.facts.crop ?? "a crop";
}

import type { Book } from "../../book/book.ts";
import { shortcomingsInWords } from "../../book/clean-down-words.ts";
import { soilLeftInWords } from "../../book/field-risk-words.ts";
import type { RecordPlace } from "../../records/finding.ts";
import type { FactRecord } from "../../records/record.ts";
import { cleanDown, type CleanDownShortcoming } from "../../soil/clean-down.ts";
import { placesTarget, valueAt, type LensText } from "./lens.ts";
import { plainTitle } from "../safe-text.ts";

/** Full or partial and why, and the share of soil left; it opens what fell short, or the steps of a full clean-down. */
export function cleaningLenses(record: FactRecord<"cleanings">, book: Book): LensText[] {
  const { full, soilLeft, shortcomings } = cleanDown(record.facts.steps ?? [], book.region.cleaning ?? {});
  const steps: RecordPlace = { record, pointer: ["steps"], part: "key" };
  if (full) return [{ title: "full clean-down", opens: placesTarget([steps], book) }];
  const why = shortcomingsInWords(shortcomings, record.facts.steps);
  const places = shortcomings.map((shortcoming) => placeOf(shortcoming, record) ?? steps);
  return [
    { title: plainTitle(`partial: ${why} · ${soilLeftInWords(soilLeft)}`), opens: placesTarget(unique(places), book) },
  ];
}

function placeOf(shortcoming: CleanDownShortcoming, record: FactRecord<"cleanings">): RecordPlace | undefined {
  switch (shortcoming.why) {
    case "step missing":
      return undefined;
    case "too weak":
      return valueAt(record, "steps", shortcoming.index, shortcoming.computed ? "water_l" : "strength_percent");
    case "contact too short":
      return valueAt(record, "steps", shortcoming.index, "contact_minutes");
    default:
      return valueAt(record, "steps", shortcoming.index, "step");
  }
}

function unique(places: readonly RecordPlace[]): RecordPlace[] {
  return [...new Map(places.map((place) => [place.pointer.join(" "), place])).values()];
}

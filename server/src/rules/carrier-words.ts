import { MINUTES_PER_DAY } from "../base/days.ts";
import { dayInWords } from "../base/words.ts";
import type { Book } from "../book/book.ts";
import type { CarrierCleaning, CarrierHistory, CarrierMove, CarrierStay } from "../book/carrier-history.ts";
import { BOOTS_PREFIX } from "../book/references.ts";
import type { RecordPlace, RelatedPlace } from "../records/finding.ts";
import { isKind, type FactRecord } from "../records/record.ts";
import type { StepRecord } from "../schema/facts.ts";

/** The later of the two visits is one whose records are looked at. */
export function isMoveInSight(move: CarrierMove, book: Book): boolean {
  return book.isInSight(move.to.visit);
}

/** `seeder-1 went from Long Meadow to Mill Flat on 9 May`, `… from Long Meadow (8 May) to Mill Flat (9 May)` */
export function moveInWords({ label }: CarrierHistory, { from, to }: CarrierMove, book: Book): string {
  const left = Math.floor(from.left / MINUTES_PER_DAY);
  const arrived = Math.floor(to.arrived / MINUTES_PER_DAY);
  const arrivedWords = dayInWords(arrived, book.seasonYear);
  const [here, there] = [book.fieldName(from.field), book.fieldName(to.field)];
  if (left === arrived) return `${label} went from ${here} to ${there} on ${arrivedWords}`;
  return `${label} went from ${here} (${dayInWords(left, book.seasonYear)}) to ${there} (${arrivedWords})`;
}

/** What is left to do: a carrier that was cleaned in full since then carries nothing further, but the field may have got soil. */
export function remedy(carrier: CarrierHistory, { to }: CarrierMove, book: Book): string {
  if (isCleanedSince(carrier, to)) return `dig ${book.fieldName(to.field)} with more care: soil may have come along`;
  const pronoun = carrier.id.startsWith(BOOTS_PREFIX) ? "them" : "it";
  return `remove the soil, wash and disinfect ${pronoun} before the next field`;
}

/** Where a visit names the carrier; its boots are named by their footwear. */
export function placeOfCarrier({ id }: CarrierHistory, { visit }: CarrierStay): RecordPlace {
  const pointer = id.startsWith(BOOTS_PREFIX) ? ["footwear"] : ["equipment", visit.facts.equipment?.indexOf(id) ?? 0];
  return { record: visit, pointer, part: "value" };
}

/** A full clean-down has followed the stay. */
export function isCleanedSince(carrier: CarrierHistory, stay: CarrierStay): boolean {
  const lastFull = carrier.cleanings.findLast((cleaning) => cleaning.result.full);
  return lastFull !== undefined && lastFull.at >= stay.left;
}

export function visitBefore({ label }: CarrierHistory, { from }: CarrierMove, book: Book): RelatedPlace {
  const pointer = from.visit.facts.left === undefined ? ["arrived"] : ["left"];
  return {
    place: { record: from.visit, pointer, part: "value" },
    message: `the visit before, when ${label} left ${book.fieldName(from.field)}`,
  };
}

export function stepsOf({ record }: CarrierCleaning): readonly StepRecord[] {
  return isKind(record as FactRecord, "cleanings") ? ((record as FactRecord<"cleanings">).facts.steps ?? []) : [];
}

/** The figure or the step of a partial cleaning that fell short first, or its list of steps. */
export function placeOfShortfall({ record, result }: CarrierCleaning): RecordPlace {
  const first = result.shortcomings[0];
  if (!first || first.why === "step missing") return { record, pointer: ["steps"], part: "key" };
  const key =
    first.why === "contact too short"
      ? "contact_minutes"
      : first.why === "too weak" && !first.computed
        ? "strength_percent"
        : "step";
  return { record, pointer: ["steps", first.index, key], part: "value" };
}

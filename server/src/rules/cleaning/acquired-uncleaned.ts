import { MINUTES_PER_DAY, parseDay } from "../../base/days.ts";
import { dayInWords } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { bestPartialCleaning, cleaningsBetween, type CarrierStay } from "../../book/carrier-history.ts";
import { shortcomingsInWords } from "../../book/clean-down-words.ts";
import type { RelatedPlace } from "../../records/finding.ts";
import type { AcquiredRecord } from "../../schema/facts.ts";
import { isCleanedSince, placeOfCarrier, placeOfShortfall, stepsOf } from "../carrier-words.ts";
import { recordRule } from "../rule.ts";

export default recordRule({
  code: "cleaning/acquired-uncleaned",
  level: "warning",
  figures: ["cleaning.strength_percent", "cleaning.contact_minutes"],
  kinds: ["equipment"],
  check(record, book, report) {
    const { id, acquired, touches_soil: touchesSoil } = record.facts;
    if (!id || !acquired || acquired.cleaned_before_arrival === true || touchesSoil === false) return;
    const acquiredOn = acquired.on === undefined ? undefined : parseDay(acquired.on);
    if (acquiredOn !== undefined && acquiredOn > book.asOf) return;
    const carrier = book.carrierHistory(id);
    const from = acquiredOn === undefined ? -Infinity : acquiredOn * MINUTES_PER_DAY;
    const firstStay = carrier.stays.find((stay) => stay.arrived >= from);
    if (!book.isDayInSight(acquiredOn) && !(firstStay && book.isInSight(firstStay.visit))) return;
    const cleanings = cleaningsBetween(carrier, from, firstStay?.arrived ?? Infinity);
    if (cleanings.some((cleaning) => cleaning.result.full)) return;
    const best = bestPartialCleaning(cleanings);
    const lacks = best && shortcomingsInWords(best.result.shortcomings, stepsOf(best));
    const related: RelatedPlace[] = [];
    if (best) related.push({ place: placeOfShortfall(best), message: `the cleaning that fell short: ${lacks}` });
    if (firstStay)
      related.push({
        place: placeOfCarrier(carrier, firstStay),
        message: "its first visit",
      });
    const whatNow =
      firstStay && isCleanedSince(carrier, firstStay)
        ? "dig there with more care"
        : "remove the soil, wash and disinfect it before the next field, and dig there with more care";
    report({
      place: { record, pointer: ["acquired"], part: "key" },
      message:
        `${id} came ${originInWords(acquired, acquiredOn, book)} and is not recorded as cleaned before that; ` +
        (firstStay
          ? `it went onto ${firstVisitInWords(firstStay, book)} ${lacks ? `after only a partial clean-down (${lacks})` : "without a clean-down"}, so ${whatNow}`
          : `${lacks ? `only a partial clean-down is recorded since (${lacks})` : "no clean-down is recorded since"}, so remove the soil, wash and disinfect it before its first field`),
      related,
    });
  },
});

/** `on 4 Mar from auction (another province)` */
function originInWords({ from, place }: AcquiredRecord, day: number | undefined, book: Book): string {
  const when = day === undefined ? "" : `on ${dayInWords(day, book.seasonYear)} `;
  const source = from ? `from ${from}` : "from outside";
  return `${when}${source}${place ? ` (${place})` : ""}`;
}

function firstVisitInWords({ field, arrived }: CarrierStay, book: Book): string {
  return `${book.fieldName(field)} on ${dayInWords(Math.floor(arrived / MINUTES_PER_DAY), book.seasonYear)}`;
}

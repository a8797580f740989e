import { MINUTES_PER_DAY } from "../base/days.ts";
import { dayInWords, figure } from "../base/words.ts";
import type { Exposure } from "../soil/exposure.ts";
import type { Carriage } from "../soil/soil-records.ts";
import type { RelatedPlace } from "../records/finding.ts";
import { isKind } from "../records/record.ts";
import type { Book } from "./book.ts";
import { BOOTS_PREFIX } from "./references.ts";

/** `the boots of mo`, `seeder-2` */
export function carrierInWords(carrier: string): string {
  return carrier.startsWith(BOOTS_PREFIX) ? `the boots of ${carrier.slice(BOOTS_PREFIX.length)}` : carrier;
}

const DOES = {
  leave: ["leaves", "leave"],
  "arrive on": ["arrives on", "arrive on"],
  "be cleaned": ["is cleaned", "are cleaned"],
} as const;

/** `seeder-2 leaves`, `the boots of mo leave` */
export function carrierDoes(carrier: string, verb: keyof typeof DOES): string {
  return `${carrierInWords(carrier)} ${DOES[verb][carrier.startsWith(BOOTS_PREFIX) ? 1 : 0]}`;
}

/** `about 10 %`, `under 0.1 %`, `all` */
export function shareInWords(share: number): string {
  if (share >= 1) return "all";
  const percent = share * 100;
  if (percent < 0.1) return "under 0.1 %";
  return `about ${figure(percent, percent < 1 ? 1 : 0)} %`;
}

/** `on seeder-2 to Mill Flat (9 May), then here on the boots of mo (left 10 May, arrived 2 June)` */
function wayInWords(chain: readonly Carriage[], book: Book): string {
  return chain
    .map((step, i) => {
      const to = i < chain.length - 1 ? `to ${book.fieldName(step.to)}` : "here";
      return `${to} on ${carrierInWords(step.carrier)} (${timesInWords(step, book)})`;
    })
    .join(", then ");
}

function timesInWords({ left, arrived }: Carriage, book: Book): string {
  const leftDay = Math.floor(left / MINUTES_PER_DAY);
  const arrivedDay = Math.floor(arrived / MINUTES_PER_DAY);
  const arrivedWords = dayInWords(arrivedDay, book.seasonYear);
  return leftDay === arrivedDay
    ? arrivedWords
    : `left ${dayInWords(leftDay, book.seasonYear)}, arrived ${arrivedWords}`;
}

export function exposureInWords(exposure: Exposure, book: Book): string {
  const source = exposure.chain[0] ? book.fieldName(exposure.chain[0].from) : "an infested field";
  return `soil of ${source} may have come ${wayInWords(exposure.chain, book)}, ${shareInWords(exposure.soilLeft)} of it left`;
}

/** The records of a chain in order: the visit that was left, each clean-down that fell short, the visit that was reached. */
export function placesOfChain(chain: readonly Carriage[], book: Book): RelatedPlace[] {
  const places: RelatedPlace[] = [];
  for (const step of chain) {
    const leaving = book.visitOfCarrier(step.carrier, step.visitLeft);
    if (leaving) {
      const pointer = leaving.facts.left === undefined ? ["arrived"] : ["left"];
      places.push({
        place: { record: leaving, pointer, part: "value" },
        message: `${carrierDoes(step.carrier, "leave")} ${book.fieldName(step.from)}`,
      });
    }
    for (const between of step.cleanings) {
      const cleaning = book.cleaningOfCarrier(step.carrier, between.cleaning);
      if (!cleaning) continue;
      const pointer = isKind(cleaning, "visits") ? ["footwear"] : ["steps"];
      places.push({
        place: { record: cleaning, pointer, part: "key" },
        message: `a clean-down that fell short: ${shareInWords(between.soilLeft)} left`,
      });
    }
    const reaching = book.visitOfCarrier(step.carrier, step.visitArrived);
    if (reaching)
      places.push({
        place: { record: reaching, pointer: ["arrived"], part: "value" },
        message: `${carrierDoes(step.carrier, "arrive on")} ${book.fieldName(step.to)}`,
      });
  }
  return places;
}

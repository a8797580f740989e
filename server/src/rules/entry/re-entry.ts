import { dayInWords, durationInWords, figure, timeOfDay } from "../../base/words.ts";
import { MINUTES_PER_DAY } from "../../base/days.ts";
import type { Book } from "../../book/book.ts";
import type { FieldHistory, FieldVisit } from "../../book/field-history.ts";
import { fieldRule } from "../rule.ts";

export default fieldRule({
  code: "entry/re-entry",
  level: "error",
  check(field, book, report) {
    const closures = closuresOf(field);
    if (closures.length === 0) return;
    let next = 0;
    const last = new LastTwo();
    for (const visit of field.visits) {
      for (; next < closures.length && closures[next]!.spraying.left <= visit.arrived; next++)
        last.add(closures[next]!);
      const closure = last.besides(visit);
      if (!closure || visit.arrived >= closure.until || !book.isYearInSight(visit.year)) continue;
      const { spraying, hours, until } = closure;
      report({
        place: { record: visit.record, pointer: ["arrived"], part: "value" },
        message:
          `${field.name} was entered ${durationInWords(until - visit.arrived)} too early: spraying ended at ${timeWords(spraying.left, visit, book)}, ` +
          `and the re-entry interval of ${figure(hours)} ${hours === 1 ? "hour" : "hours"} runs until ${timeWords(until, visit, book)}; ` +
          "the product's label decides who may go in before, and with what protection",
        related: [
          {
            place: { record: spraying.record, pointer: ["re_entry_hours"], part: "value" },
            message: "the spraying and its re-entry interval",
          },
        ],
      });
    }
  },
});

/** A field that is closed from the end of a spraying until a minute that is no longer part of it. */
interface Closure {
  readonly spraying: FieldVisit;
  readonly hours: number;
  readonly until: number;
}

/** In the order in which the sprayings ended. */
function closuresOf(field: FieldHistory): Closure[] {
  const closures = field.visits.flatMap((spraying) => {
    const { purpose, re_entry_hours: hours } = spraying.record.facts;
    if (purpose !== "spraying" || hours === undefined || !(hours > 0 && Number.isFinite(hours))) return [];
    return { spraying, hours, until: Math.ceil(spraying.left + hours * 60) };
  });
  return closures.sort((a, b) => a.spraying.left - b.spraying.left);
}

/** The two closures that last longest: a visit is not closed out by itself, and then the other counts. */
class LastTwo {
  #longest: Closure | undefined;
  #second: Closure | undefined;

  add(closure: Closure): void {
    if (!this.#longest || closure.until > this.#longest.until) {
      this.#second = this.#longest;
      this.#longest = closure;
    } else if (!this.#second || closure.until > this.#second.until) this.#second = closure;
  }

  besides(visit: FieldVisit): Closure | undefined {
    return this.#longest?.spraying === visit ? this.#second : this.#longest;
  }
}

/** `06:10` on the day of the visit, else `18:30 on 13 Aug`. */
function timeWords(minute: number, visit: FieldVisit, book: Book): string {
  const day = Math.floor(minute / MINUTES_PER_DAY);
  return day === visit.day ? timeOfDay(minute) : `${timeOfDay(minute)} on ${dayInWords(day, book.seasonYear)}`;
}

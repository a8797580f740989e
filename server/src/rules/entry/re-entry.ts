import { dayInWords, durationInWords, figure, timeOfDay } from "../../base/words.ts";
import { MINUTES_PER_DAY } from "../../base/days.ts";
import type { Book } from "../../book/book.ts";
import { closuresOf, type Closure } from "../../book/closures.ts";
import type { FieldVisit } from "../../book/field-history.ts";
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

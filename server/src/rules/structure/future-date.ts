import { formatDay, parseDayOf } from "../../base/days.ts";
import { plural } from "../../base/words.ts";
import { datesOf } from "../../book/dates.ts";
import { recordRule } from "../rule.ts";

export default recordRule({
  code: "structure/future-date",
  level: "warning",
  kinds: ["fields", "equipment", "rotations", "visits", "cleanings", "samples"],
  check(record, book, report) {
    const { today } = book.options;
    for (const { pointer, text } of datesOf(record)) {
      const day = parseDayOf(text);
      if (day === undefined || day <= today) continue;
      report({
        place: { record, pointer, part: "value" },
        message:
          `${text} is ${plural(day - today, "day")} after today (${formatDay(today)}); ` +
          "records tell what was done, so correct the date or wait until it is done",
      });
    }
  },
});

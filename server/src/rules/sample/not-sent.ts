import { parseDay } from "../../base/days.ts";
import { dayInWords, plural } from "../../base/words.ts";
import { fieldRule } from "../rule.ts";

export default fieldRule({
  code: "sample/not-sent",
  level: "warning",
  figures: ["sample.send_within_days"],
  check(field, book, report) {
    const days = book.region.sample?.send_within_days;
    if (days === undefined) return;
    for (const { record, taken, sent, finding } of field.samples) {
      if (taken === undefined || sent !== undefined || finding !== undefined || !book.isInSight(record)) continue;
      // What the lab has received was sent, though nobody wrote down when.
      const received = parseDay(record.facts.received ?? "");
      if (received !== undefined && received <= book.asOf) continue;
      const kept = book.asOf - taken;
      if (kept <= days) continue;
      const what = record.facts.material === "soil" ? "soil" : "roots";
      report({
        place: { record, pointer: ["id"], part: "value" },
        message:
          `sample ${record.id} of ${field.name} was taken on ${dayInWords(taken, book.seasonYear)}, ` +
          `${plural(kept, "day")} ago, and has not been sent, though ${plural(days, "day")} is the most it should wait; send it today, ` +
          `or take fresh ${what} if it has spoiled`,
      });
    }
  },
});

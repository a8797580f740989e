import { dayInWords, plural } from "../../base/words.ts";
import { labOf } from "../../book/labs.ts";
import { fieldRule } from "../rule.ts";

export default fieldRule({
  code: "sample/overdue",
  level: "warning",
  check(field, book, report) {
    for (const { record, sent, finding } of field.samples) {
      if (sent === undefined || finding !== undefined || !book.isInSight(record)) continue;
      const lab = labOf(book, record.facts.lab);
      const turnaround = lab?.turnaround_days;
      if (turnaround === undefined) continue;
      const late = book.asOf - sent - turnaround;
      if (late <= 0) continue;
      report({
        place: { record, pointer: ["sent"], part: "value" },
        message:
          `the result of sample ${record.id} of ${field.name} is ${plural(late, "day")} late: it was sent on ` +
          `${dayInWords(sent, book.seasonYear)}, and ${lab?.name ?? lab?.id ?? "the lab"} takes ` +
          `${plural(turnaround, "day")}; ask the lab for it`,
      });
    }
  },
});

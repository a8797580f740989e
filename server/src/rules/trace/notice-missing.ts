import { formatDay, parseDay } from "../../base/days.ts";
import { plural } from "../../base/words.ts";
import { fieldRule } from "../rule.ts";

export default fieldRule({
  code: "trace/notice-missing",
  level: "warning",
  figures: ["notice"],
  check(field, book, report) {
    const { notice } = book.region;
    if (!field.record || !field.confirmed || notice?.required !== true || notice.within_days === undefined) return;
    const confirmedOn = field.confirmed.day;
    const due = confirmedOn + notice.within_days;
    const given = (field.record.facts.notices ?? []).flatMap(({ on }) => {
      const day = on === undefined ? undefined : parseDay(on);
      return day !== undefined && day <= book.asOf ? [day] : [];
    });
    // Telling the authority before the lab's word came is no fault, and until the last day nothing is missing yet.
    if (book.asOf <= due || given.some((day) => day <= due)) return;
    const authority = notice.authority ?? "the authority for plant pests";
    const [late] = given.sort((a, b) => a - b);
    const state =
      late === undefined
        ? `none is recorded, and it was due by ${formatDay(due)}; record it if it was given, and if not, ask what applies`
        : `it was given on ${formatDay(late)}, ${plural(late - due, "day")} late; ask whether anything more is needed`;
    report({
      place: { record: field.record, pointer: ["id"], part: "value" },
      message:
        `clubroot was confirmed on ${field.name} on ${formatDay(confirmedOn)}, and the region asks for notice within ` +
        `${plural(notice.within_days, "day")}, but ${state}: ${authority}`,
      related: [{ place: field.confirmed.place, message: "what confirmed the field" }],
    });
  },
});

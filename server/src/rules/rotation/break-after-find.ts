import { dayInWords } from "../../base/words.ts";
import { hostYears, isRotationYearInSight } from "../../book/rotation.ts";
import { shortBreakReport } from "../short-break.ts";
import { fieldRule } from "../rule.ts";

export default fieldRule({
  code: "rotation/break-after-find",
  level: "error",
  figures: ["rotation.break_years_after_find"],
  check(field, book, report) {
    const required = book.region.rotation?.break_years_after_find;
    const { confirmed } = field;
    if (required === undefined || !confirmed) return;
    const since = ` on a field where clubroot was found on ${dayInWords(confirmed.day, book.seasonYear)}`;
    for (const host of hostYears(field)) {
      if (!host.rest || host.rest.years >= required || !isRotationYearInSight(host.crop.year, book)) continue;
      const { related = [], ...rest } = shortBreakReport(field, host.crop, host.rest, required, since, book);
      report({ ...rest, related: [...related, { place: confirmed.place, message: "the find" }] });
    }
  },
});

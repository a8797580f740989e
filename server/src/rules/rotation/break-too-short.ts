import { hostYears, isRotationYearInSight } from "../../book/rotation.ts";
import { shortBreakReport } from "../short-break.ts";
import { fieldRule } from "../rule.ts";

export default fieldRule({
  code: "rotation/break-too-short",
  level: "warning",
  figures: ["rotation.break_years"],
  check(field, book, report) {
    const required = book.region.rotation?.break_years;
    if (required === undefined || field.confirmed) return;
    for (const host of hostYears(field)) {
      if (!host.rest || host.rest.years >= required || !isRotationYearInSight(host.crop.year, book)) continue;
      report(shortBreakReport(field, host.crop, host.rest, required, "", book));
    }
  },
});

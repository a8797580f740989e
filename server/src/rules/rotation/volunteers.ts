import { isRotationYearInSight } from "../../book/rotation.ts";
import { fieldRule } from "../rule.ts";

export default fieldRule({
  code: "rotation/volunteers",
  level: "warning",
  check(field, book, report) {
    const hostCropYears = new Set(field.crops.filter((crop) => crop.isHost).map((crop) => crop.year));
    for (const { record, index, facts, year } of field.crops) {
      if (facts.volunteers !== "present" || hostCropYears.has(year) || !isRotationYearInSight(year, book)) continue;
      const next =
        year < book.seasonOfDay(book.asOf)
          ? "begin the break anew from that year"
          : "kill what still comes up, and begin the break anew after this year";
      report({
        place: { record, pointer: ["crops", index, "year"], part: "value" },
        message:
          `volunteers were left standing in ${facts.crop ?? "the crop"} on ${field.name} in ${year}, so the year counts as ` +
          `one with a host and not as a break; ${next}`,
      });
    }
  },
});

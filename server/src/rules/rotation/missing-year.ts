import { isRotationYearInSight, yearsInWords } from "../../book/rotation.ts";
import { fieldRule } from "../rule.ts";

export default fieldRule({
  code: "rotation/missing-year",
  level: "information",
  check(field, book, report) {
    field.crops.forEach((crop, i) => {
      const before = field.crops[i - 1];
      if (!before || crop.year - before.year < 2 || !isRotationYearInSight(crop.year, book)) return;
      const years = Array.from({ length: crop.year - before.year - 1 }, (_, k) => before.year + 1 + k);
      const those = years.length === 1 ? "that year" : "those years";
      report({
        place: { record: crop.record, pointer: ["crops", crop.index, "crop"], part: "value" },
        message:
          `nothing is recorded of what grew on ${field.name} in ${yearsInWords(years)}, so ${those} cannot count as a ` +
          "break; add the crops",
        related: [
          {
            place: { record: before.record, pointer: ["crops", before.index, "year"], part: "value" },
            message: `the last year recorded before, ${before.year}`,
          },
        ],
      });
    });
  },
});

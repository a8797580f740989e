import { recordRule } from "../rule.ts";

export default recordRule({
  code: "entry/footwear-unprotected",
  level: "warning",
  kinds: ["visits"],
  check(record, book, report) {
    const { footwear, field } = record.facts;
    if (footwear !== "unprotected" || !book.hasHappened(record) || !book.isInSight(record)) return;
    report({
      place: { record, pointer: ["footwear"], part: "value" },
      message:
        `boots went into ${book.fieldName(field ?? "the field")} without covers and without disinfection; ` +
        "clean and disinfect them before the next field, and use fresh boot covers from then on",
    });
  },
});

import { recordRule } from "../rule.ts";

export default recordRule({
  code: "entry/wet-ground",
  level: "warning",
  kinds: ["visits"],
  check(record, book, report) {
    const { ground, field } = record.facts;
    if (ground !== "wet" || !book.hasHappened(record) || !book.isInSight(record)) return;
    report({
      place: { record, pointer: ["ground"], part: "value" },
      message:
        `${field ? book.fieldName(field) : "the field"} was entered while the ground was wet, when the most soil sticks and travels; ` +
        "remove the soil, wash and disinfect everything that was on it, and next time wait until it is dry",
    });
  },
});

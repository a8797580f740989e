import { figure, figuresApart } from "../../base/words.ts";
import { productName } from "../../book/clean-down-words.ts";
import { recordRule } from "../rule.ts";

export default recordRule({
  code: "cleaning/contact-too-short",
  level: "warning",
  figures: ["cleaning.contact_minutes"],
  kinds: ["cleanings"],
  check(record, book, report) {
    const asked = book.region.cleaning?.contact_minutes;
    if (asked === undefined || !book.hasHappened(record) || !book.isInSight(record)) return;
    record.facts.steps?.forEach((step, index) => {
      if (step.step !== "disinfect") return;
      const minutes = step.contact_minutes;
      if (minutes === undefined) {
        report({
          place: { record, pointer: ["steps", index, "step"], part: "value" },
          message:
            `no contact time is recorded for the ${productName(step)} where ${figure(asked)} minutes are asked; ` +
            "write down how long the surface stayed wet, or disinfect again before the next field",
        });
      } else if (minutes < asked) {
        const [is, wanted] = figuresApart(minutes, asked);
        report({
          place: { record, pointer: ["steps", index, "contact_minutes"], part: "value" },
          message:
            `the ${productName(step)} had ${is} minutes to work where ${wanted} are asked; ` +
            "disinfect again before the next field, and keep the surface wet for the whole time",
        });
      }
    });
  },
});

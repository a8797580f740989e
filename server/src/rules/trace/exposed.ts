import { exposureInWords, placesOfChain } from "../../book/exposure-words.ts";
import { fieldRule } from "../rule.ts";

export default fieldRule({
  code: "trace/exposed",
  level: "warning",
  figures: ["trace.look_back_days", "cleaning.soil_left"],
  check(field, book, report) {
    if (!field.record || field.confirmed) return;
    const exposure = book.exposureOf(field.id);
    if (!exposure) return;
    report({
      place: { record: field.record, pointer: ["id"], part: "value" },
      message: `${exposureInWords(exposure, book)}; walk ${field.name} after the clean fields, and dig first where that carrier came in`,
      related: placesOfChain(exposure.chain, book),
    });
  },
});

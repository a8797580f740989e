import { listed } from "../../base/words.ts";
import { shareInWords } from "../../book/exposure-words.ts";
import { cleanDown, CLEAN_DOWN_STEPS } from "../../soil/clean-down.ts";
import { recordRule } from "../rule.ts";

const DOING = { "remove soil": "removal of loose soil", wash: "washing", disinfect: "disinfecting" } as const;

export default recordRule({
  code: "cleaning/step-missing",
  level: "warning",
  kinds: ["cleanings"],
  check(record, book, report) {
    const { steps } = record.facts;
    if (!steps || !book.hasHappened(record) || !book.isInSight(record)) return;
    const lacking = CLEAN_DOWN_STEPS.filter((name) => !steps.some((step) => step.step === name));
    // A step whose name cannot be read has a finding of its own, and may well be the one that is lacking.
    const unread = steps.filter((step) => !step.step).length;
    if (lacking.length <= unread) return;
    const figures = book.region.cleaning;
    const soilLeft = figures?.soil_left
      ? ` and leaves ${shareInWords(cleanDown(steps, figures).soilLeft)} of the soil`
      : "";
    report({
      place: { record, pointer: ["steps"], part: "key" },
      message:
        `this clean-down has ${listed(lacking.map((name) => `no ${DOING[name]}`))}, so it is partial${soilLeft}; ` +
        "do what is lacking before the next field, or add the step if it was done",
    });
  },
});

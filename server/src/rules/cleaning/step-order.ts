import { listed } from "../../base/words.ts";
import { cleanDown } from "../../soil/clean-down.ts";
import { recordRule } from "../rule.ts";

export default recordRule({
  code: "cleaning/step-order",
  level: "warning",
  kinds: ["cleanings"],
  check(record, book, report) {
    const steps = record.facts.steps ?? [];
    if (!book.hasHappened(record) || !book.isInSight(record)) return;
    const firstOf = (name: string): number => steps.findIndex((step) => step.step === name);
    const removal = { index: firstOf("remove soil"), what: "before the loose soil was off" };
    const washing = { index: firstOf("wash"), what: "before washing" };
    // A later round in the right order makes the clean-down full all the same.
    const remedy = cleanDown(steps, book.region.cleaning ?? {}).full
      ? "next time remove the soil first, then wash, then disinfect"
      : "do it again in order (remove the soil, wash, disinfect), or put the steps right if only the list is out of order";
    steps.forEach(({ step }, index) => {
      if (step !== "wash" && step !== "disinfect") return;
      const owed = (step === "wash" ? [removal] : [removal, washing]).filter((other) => other.index > index);
      if (owed.length === 0) return;
      report({
        place: { record, pointer: ["steps", index, "step"], part: "value" },
        message: `${DONE[step]} ${listed(owed.map(({ what }) => what))}, ${WHY[step]}; ${remedy}`,
        related: owed.map((other) => ({
          place: { record, pointer: ["steps", other.index, "step"], part: "value" },
          message: "this comes first",
        })),
      });
    });
  },
});

const DONE = { wash: "washed", disinfect: "disinfected" } as const;
const WHY = { wash: "which spreads the soil about", disinfect: "and soil uses the disinfectant up" } as const;

import { dayInWords, plural } from "../../base/words.ts";
import { usualEntrance } from "../../book/entrances.ts";
import { samplingGoal } from "../../book/sampling-goal.ts";
import { hostYearsInSight, seasonScouting } from "../../book/scouting-window.ts";
import { swathingInWords } from "../../book/window-words.ts";
import { fieldRule } from "../rule.ts";
import { WINDOW_FIGURES } from "../rule-sources.ts";

export default fieldRule({
  code: "scouting/window-open",
  level: "information",
  figures: WINDOW_FIGURES,
  check(field, book, report) {
    for (const year of hostYearsInSight(field, book)) {
      const scouting = seasonScouting(field, year, book);
      const window = scouting?.window;
      if (!scouting || !window || scouting.inWindow.length > 0) continue;
      if (book.asOf < window.opens || book.asOf > window.closes) continue;
      const { record, index } = scouting.crop;
      const goal = samplingGoal(book);
      const plants = goal ? plural(goal.plants, "plant") : "plants";
      const remaining = window.closes - book.asOf;
      const left = remaining === 0 ? "today is the last day" : `${plural(remaining, "day")} left`;
      report({
        place: { record, pointer: ["crops", index, "crop"], part: "value" },
        message:
          `${field.name} has not been dug in its window yet, which closes on ` +
          `${dayInWords(window.closes, book.seasonYear)}, ${left} (${swathingInWords(window, book)}); ` +
          `dig ${plants}, first near ${usualEntrance(field)?.name ?? "the usual entrance"}`,
      });
    }
  },
});

import { dayInWords } from "../../base/words.ts";
import { hostYearsInSight, seasonScouting, type ScoutingWindow } from "../../book/scouting-window.ts";
import { swathingInWords, windowInWords } from "../../book/window-words.ts";
import type { Book } from "../../book/book.ts";
import type { FieldHistory } from "../../book/field-history.ts";
import type { RelatedPlace } from "../../records/finding.ts";
import { fieldRule } from "../rule.ts";
import { WINDOW_FIGURES } from "../rule-sources.ts";

export default fieldRule({
  code: "scouting/window-missed",
  level: "warning",
  figures: WINDOW_FIGURES,
  check(field, book, report) {
    for (const year of hostYearsInSight(field, book)) {
      const scouting = seasonScouting(field, year, book);
      const window = scouting?.window;
      if (!scouting || !window || book.asOf <= window.closes || scouting.inWindow.length > 0) continue;
      const { record, index } = scouting.crop;
      const roots =
        window.seeded === undefined ? "look at roots still in the stubble" : "dig while the crop still stands";
      const late = book.seasonOfDay(book.asOf) === year ? `${roots}, or ` : "";
      report({
        place: { record, pointer: ["crops", index, "crop"], part: "value" },
        message:
          `no roots were dug on ${field.name} in its scouting window, ${windowInWords(window, book)} ` +
          `(${swathingInWords(window, book)}), so clubroot may be there unseen; ` +
          `${late}have a soil sample tested`,
        related: nearMisses(field, year, window, book),
      });
    }
  },
});

/** The scouting visits of the year, each with the reason for which it does not count. */
function nearMisses(field: FieldHistory, year: number, window: ScoutingWindow, book: Book): RelatedPlace[] {
  const visits = field.visits.filter((visit) => visit.isScouting && visit.year === year);
  return visits.map((visit) => {
    const day = dayInWords(visit.day, book.seasonYear);
    const reason =
      visit.day < window.opens
        ? "before the window opened"
        : visit.day > window.closes
          ? "after the window closed"
          : "with nothing dug";
    return {
      place: { record: visit.record, pointer: ["arrived"], part: "value" },
      message: `scouted on ${day}, ${reason}`,
    };
  });
}

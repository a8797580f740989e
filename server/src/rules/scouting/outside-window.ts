import { dayInWords, plural } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import type { FieldVisit } from "../../book/field-history.ts";
import {
  hostYearsInSight,
  seasonScouting,
  type ScoutingWindow,
  type SeasonScouting,
} from "../../book/scouting-window.ts";
import { windowInWords } from "../../book/window-words.ts";
import { fieldRule } from "../rule.ts";
import { WINDOW_FIGURES } from "../rule-sources.ts";

export default fieldRule({
  code: "scouting/outside-window",
  level: "information",
  figures: WINDOW_FIGURES,
  check(field, book, report) {
    for (const year of hostYearsInSight(field, book)) {
      const scouting = seasonScouting(field, year, book);
      const window = scouting?.window;
      if (!scouting || !window) continue;
      for (const visit of scouting.withDigs) {
        if (scouting.inWindow.includes(visit)) continue;
        report({
          place: { record: visit.record, pointer: ["arrived"], part: "value" },
          message: `roots were dug on ${field.name} ${howFarOff(visit, window, book)}; ${whatNext(scouting, window, book)}`,
          related: [
            {
              place: { record: scouting.crop.record, pointer: ["crops", scouting.crop.index, "crop"], part: "value" },
              message: `the crop, to be scouted ${windowInWords(window, book)}`,
            },
          ],
        });
      }
    }
  },
});

function howFarOff(visit: FieldVisit, window: ScoutingWindow, book: Book): string {
  if (visit.day < window.opens) {
    const opens = dayInWords(window.opens, book.seasonYear);
    return `${plural(window.opens - visit.day, "day")} before the scouting window ${book.asOf < window.opens ? "opens" : "opened"} on ${opens}, when galls may still be too small to see`;
  }
  const closed = dayInWords(window.closes, book.seasonYear);
  return `${plural(visit.day - window.closes, "day")} after the scouting window closed on ${closed}, when galls may have rotted away`;
}

function whatNext(scouting: SeasonScouting, window: ScoutingWindow, book: Book): string {
  if (scouting.inWindow.length > 0) return "these plants are not counted, but the field was dug inside the window too";
  if (book.asOf > window.closes) return "these plants are not counted, and the field was not dug inside the window";
  if (book.asOf >= window.opens) return `dig again by ${dayInWords(window.closes, book.seasonYear)}`;
  return `dig again from ${windowInWords(window, book)}`;
}

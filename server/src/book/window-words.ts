import { dayInWords } from "../base/words.ts";
import type { Book } from "./book.ts";
import type { FieldCrop } from "./field-history.ts";
import type { ScoutingWindow } from "./scouting-window.ts";
import { seededForFigures } from "./season-on-field.ts";

/** `13 Aug to 3 Sep` */
export function windowInWords(window: ScoutingWindow, book: Book): string {
  return `${dayInWords(window.opens, book.seasonYear)} to ${dayInWords(window.closes, book.seasonYear)}`;
}

/** What the window hangs on: `swathed on 27 Aug`, `swathing expected on 27 Aug, by degree days`, `seeded on 20 Aug 2025`. */
export function swathingInWords(window: ScoutingWindow, book: Book): string {
  if (window.seeded !== undefined) return `seeded on ${dayInWords(window.seeded, book.seasonYear)}`;
  const swathing = window.opens + (book.region.scouting?.opens_days_before_swath ?? 0);
  const day = dayInWords(swathing, book.seasonYear);
  if (window.basis === "recorded") return `swathed on ${day}`;
  if (window.basis === "forecast") return `swathing expected on ${day}, by degree days`;
  return `swathing expected on ${day}, counted from seeding`;
}

/** Why a host crop has no scouting window, in the middle of a sentence. */
export function whyNoWindow(crop: FieldCrop, book: Book): string {
  const {
    opens_days_after_seeding: from,
    closes_days_after_seeding: to,
    opens_days_before_swath: before,
    closes_days_after_swath: after,
  } = book.region.scouting ?? {};
  const isFromSeeding = from !== undefined && to !== undefined;
  const isFromSwathing = before !== undefined && after !== undefined;
  if (!isFromSeeding && !isFromSwathing) return "the region gives no scouting window";
  if (crop.seeded !== undefined)
    return seededForFigures(crop, book.seasonStart) === undefined
      ? "the region gives no scouting window for a crop seeded in the year of its harvest"
      : "the region does not say how long after its seeding it is swathed";
  return isFromSwathing ? "neither seeding nor swathing is recorded" : "its seeding is not recorded";
}

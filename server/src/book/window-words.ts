import { dayInWords } from "../base/words.ts";
import type { Book } from "./book.ts";
import type { ScoutingWindow } from "./scouting-window.ts";

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

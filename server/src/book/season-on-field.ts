import { yearOfDay } from "../base/days.ts";
import { firstDayOfSeason, seasonOfDay, type SeasonStart } from "../base/seasons.ts";
import type { FieldCrop } from "./field-history.ts";

/** Half a year: a crop seeded longer than that before its season begins, or harvested later, is a slip of the pen. */
const MOST_DAYS_OFF = 183;

/** How the seasons of a book run, by its region. */
export interface SeasonTurn {
  readonly start: SeasonStart | undefined;
  /** The scouting window stays open so long after swathing; days. */
  readonly closesDaysAfterSwath: number | undefined;
}

/**
 * The season that a visit to a field belongs to: the calendar year or, where the region's seasons run from autumn to harvest,
 * that of the day; yet where the records say that the crop was in the ground before that day, or not yet off it, the crop's.
 * Days since 1970-01-01.
 */
export function seasonOfVisit(
  day: number,
  purpose: string | undefined,
  crops: readonly FieldCrop[],
  { start, closesDaysAfterSwath }: SeasonTurn,
): number {
  const season = seasonOfDay(day, start);
  if (!start) return season;
  const hasBegun = (year: number): boolean =>
    crops.some(
      (crop) =>
        crop.year === year &&
        crop.seeded !== undefined &&
        crop.seeded <= day &&
        crop.seeded > firstDayOfSeason(year, start) - MOST_DAYS_OFF,
    );
  if (hasBegun(season + 1)) return season + 1;
  if (hasBegun(season)) return season;
  const isHarvest = purpose === "harvest" || purpose === "swathing";
  const lasts = crops.some(
    (crop) =>
      crop.year === season - 1 &&
      ((isHarvest && day < firstDayOfSeason(season, start) + MOST_DAYS_OFF) ||
        (crop.swathed !== undefined && day <= crop.swathed + (closesDaysAfterSwath ?? 0))),
  );
  return lasts ? season - 1 : season;
}

/**
 * The day of seeding from which the region's figures count: where its seasons begin in autumn they are those of a crop that
 * was seeded in the year before its harvest, and say nothing of one seeded in spring.
 */
export function seededForFigures(crop: FieldCrop, start: SeasonStart | undefined): number | undefined {
  if (!start || crop.seeded === undefined) return crop.seeded;
  return yearOfDay(crop.seeded) < crop.year ? crop.seeded : undefined;
}

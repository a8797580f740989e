import type { Book } from "./book.ts";
import { hostCropOf, type FieldCrop, type FieldHistory } from "./field-history.ts";

/** Whether the rotation rules look at a year: the season and every planned one after it, or any with all seasons. */
export function isRotationYearInSight(year: number, book: Book): boolean {
  return book.options.allSeasons || (book.seasonYear !== undefined && year >= book.seasonYear);
}

/** The host crops that the rotation rules look at, one a year, in order. */
export function hostCropsInSight(field: FieldHistory, book: Book): FieldCrop[] {
  return field.crops.filter((crop) => isRotationYearInSight(crop.year, book) && hostCropOf(field, crop.year) === crop);
}

/** The rest of a field before one of its host crops. */
export interface HostBreak {
  /** The crop of the host year before: a host, or one in which volunteers were left standing. */
  readonly before: FieldCrop;
  /** Recorded years without a host since then. */
  readonly years: number;
  /** Years since then of which nothing is recorded: they count for nothing. */
  readonly missing: readonly number[];
}

/** Undefined where no earlier host year is recorded. */
export function hostBreakBefore(field: FieldHistory, crop: FieldCrop): HostBreak | undefined {
  const before = field.crops.findLast((earlier) => earlier.year < crop.year && earlier.isHostYear);
  if (!before) return undefined;
  const recorded = new Set(field.crops.filter(({ facts }) => facts.crop).map(({ year }) => year));
  const missing: number[] = [];
  for (let year = before.year + 1; year < crop.year; year++) if (!recorded.has(year)) missing.push(year);
  return { before, years: crop.year - before.year - 1 - missing.length, missing };
}

/** The host crop before one, however many years earlier. */
export function hostCropBefore(field: FieldHistory, crop: FieldCrop): FieldCrop | undefined {
  return field.crops.findLast((earlier) => earlier.year < crop.year && earlier.isHost);
}

/** `2024`, `2024 and 2025`, `2024 to 2026` (years in order) */
export function yearsInWords(years: readonly number[]): string {
  const [first, last] = [years[0], years[years.length - 1]];
  if (first === undefined || last === undefined) return "";
  if (years.length > 2 && last - first === years.length - 1) return `${first} to ${last}`;
  return years.length > 1 ? `${years.slice(0, -1).join(", ")} and ${last}` : String(first);
}

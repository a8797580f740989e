import { scoutingWindow as windowAround, swathingDay } from "../agronomy/scouting-window.ts";
import { hostCropOf, type FieldCrop, type FieldHistory, type FieldVisit } from "./field-history.ts";
import type { Book } from "./book.ts";
import { seededForFigures } from "./season-on-field.ts";
import { cropWarmth } from "./weather.ts";

/** When a host crop is to be scouted; whole days since 1970-01-01, both included. */
export interface ScoutingWindow {
  readonly opens: number;
  readonly closes: number;
  /** Where the swathing date comes from: the record, degree days, or a count of days from seeding. */
  readonly basis: "recorded" | "forecast" | "days";
  /** The day of seeding, where the region counts the window from it and not from swathing. */
  readonly seeded?: number;
}

/**
 * The window of a crop: counted from seeding where the region has it so, else around its swathing, which is recorded, else
 * forecast by degree days from the field's weather, else counted in days from seeding. Undefined where neither its swathing nor its seeding is known, or the region gives no figures.
 */
export function scoutingWindow(crop: FieldCrop, book: Book): ScoutingWindow | undefined {
  const seeded = seededForFigures(crop, book.seasonStart);
  const { opens_days_after_seeding: from, closes_days_after_seeding: to } = book.region.scouting ?? {};
  if (seeded !== undefined && from !== undefined && to !== undefined && from <= to)
    return { opens: seeded + from, closes: seeded + to, basis: "days", seeded };
  const { opens_days_before_swath: before, closes_days_after_swath: after } = book.region.scouting ?? {};
  if (before === undefined || after === undefined) return undefined;
  const swathing = swathingDay({
    recorded: crop.swathed,
    forecast: crop.swathed === undefined ? cropWarmth(crop, book)?.swathing : undefined,
    seeded,
    daysSeedToSwath: book.region.growth?.days_seed_to_swath,
  });
  const window = swathing.ok ? windowAround(swathing.value.day, before, after) : undefined;
  if (!swathing.ok || !window?.ok) return undefined;
  return { ...window.value, basis: swathing.value.basis };
}

/** What the scouting of one field in one year came to. */
export interface SeasonScouting {
  readonly year: number;
  readonly crop: FieldCrop;
  readonly window: ScoutingWindow | undefined;
  /** Scouting visits of the year with at least one dig, in order of time. */
  readonly withDigs: readonly FieldVisit[];
  /** Those of them that began inside the window. */
  readonly inWindow: readonly FieldVisit[];
}

/** The scouting of a field's host crop of a year; undefined in a year without one. */
export function seasonScouting(field: FieldHistory, year: number, book: Book): SeasonScouting | undefined {
  const crop = hostCropOf(field, year);
  if (!crop) return undefined;
  const window = scoutingWindow(crop, book);
  const withDigs = field.visits.filter((visit) => visit.year === year && visit.isScouting && visit.digs.length > 0);
  const inWindow = window ? withDigs.filter(({ day }) => day >= window.opens && day <= window.closes) : [];
  return { year, crop, window, withDigs, inWindow };
}

/** The years in sight in which the field grew a host crop, in order. */
export function hostYearsInSight(field: FieldHistory, book: Book): number[] {
  const years = field.crops.filter((crop) => crop.isHost && book.isYearInSight(crop.year)).map((crop) => crop.year);
  return [...new Set(years)];
}

export function plantsDug(visits: readonly FieldVisit[]): number {
  let plants = 0;
  for (const visit of visits) for (const dig of visit.digs) plants += dig.plants ?? 0;
  return plants;
}

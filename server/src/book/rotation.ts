import type { Book } from "./book.ts";
import type { FieldCrop, FieldHistory } from "./field-history.ts";

/** Whether the rotation rules look at a year: the season and every planned one after it, or any with all seasons. */
export function isRotationYearInSight(year: number, book: Book): boolean {
  return book.options.allSeasons || (book.seasonYear !== undefined && year >= book.seasonYear);
}

/** Whether a crop is in the ground or was, so that nothing can be changed about it any more: by its dates, or by its year. */
export function isGrown(crop: FieldCrop, book: Book): boolean {
  return crop.seeded !== undefined || crop.swathed !== undefined || crop.year < book.seasonOfDay(book.asOf);
}

/** A host crop and what the field grew before it. */
export interface HostYear {
  readonly crop: FieldCrop;
  /** The host crop before, however many years earlier. */
  readonly cropBefore: FieldCrop | undefined;
  /** Undefined where no earlier host year is recorded. */
  readonly rest: RestFromHosts | undefined;
}

/** The break between two host years. */
export interface RestFromHosts {
  /** What grew in the earlier one: a host crop, or one in which volunteers were left standing. */
  readonly since: FieldCrop;
  /** Recorded years without a host in between. */
  readonly years: number;
  /** Years in between of which nothing is recorded: they count for nothing. */
  readonly missing: readonly number[];
}

/** Every host crop of a field, one a year (the last one written, should there be several), in order. */
export function hostYears(field: FieldHistory): HostYear[] {
  const hosts = new Map<number, FieldCrop>();
  const feeding = new Map<number, FieldCrop>();
  const recorded = new Set<number>();
  for (const crop of field.crops) {
    if (crop.facts.crop) recorded.add(crop.year);
    if (crop.isHost) hosts.set(crop.year, crop);
    // In a year with a host crop it is that crop which counts, whatever else was left standing.
    if (crop.isHost || (crop.isHostYear && !hosts.has(crop.year))) feeding.set(crop.year, crop);
  }
  let cropBefore: FieldCrop | undefined;
  const sorted = [...feeding].sort(([a], [b]) => a - b);
  return sorted.flatMap(([year], i) => {
    const crop = hosts.get(year);
    if (!crop) return [];
    const since = sorted[i - 1]?.[1];
    const rest = since && restBetween(since, crop, recorded);
    const host: HostYear = { crop, cropBefore, rest };
    cropBefore = crop;
    return [host];
  });
}

function restBetween(since: FieldCrop, crop: FieldCrop, recorded: ReadonlySet<number>): RestFromHosts {
  const missing: number[] = [];
  for (let year = since.year + 1; year < crop.year; year++) if (!recorded.has(year)) missing.push(year);
  return { since, years: crop.year - since.year - 1 - missing.length, missing };
}

/** `2024`, `2024 and 2025`, `2024 to 2026`; years in order. */
export function yearsInWords(years: readonly number[]): string {
  const [first, last] = [years[0], years[years.length - 1]];
  if (first === undefined || last === undefined) return "";
  if (years.length > 2 && last - first === years.length - 1) return `${first} to ${last}`;
  return years.length > 1 ? `${years.slice(0, -1).join(", ")} and ${last}` : String(first);
}

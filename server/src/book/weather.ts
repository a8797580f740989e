import { degreeDayRecord, degreeDaySum, type DegreeDayRecord, type DegreeDaySum } from "../agronomy/degree-days.ts";
import { forecastDay, type ForecastDay } from "../agronomy/timing.ts";
import { weatherDaysOf } from "../records/weather-file.ts";
import type { RecordFile } from "../records/record-file.ts";
import type { Book } from "./book.ts";
import { ensure } from "./book-index.ts";
import type { FieldCrop } from "./field-history.ts";
import { seededForFigures } from "./season-on-field.ts";

/**
 * The weather a field has. A station's position has no key in the format; where its file lies says which fields it serves:
 * - one weather file serves every field of the book;
 * - of several, the one in the folder of the file that defines the field, or in the nearest folder above it;
 * - where none lies there, the first by path; of several in one folder, too.
 */

/** A crop's warmth since seeding, on the book's as-of day. Degree days are °C·d by the region's base and method. */
export interface CropWarmth {
  /** The path of the weather file. */
  readonly station: string;
  readonly record: DegreeDayRecord;
  readonly seeded: number;
  /** From seeding to the as-of day or, where it comes first, the day of swathing forecast. */
  readonly soFar: DegreeDaySum;
  /** The degree days from seeding to swathing. */
  readonly wanted: number;
  /** Undefined where the weather recorded does not reach that far. */
  readonly forecast: ForecastDay | undefined;
  /**
   * The day of swathing by it; undefined where it cannot be relied on: fewer days recorded than the region asks for, of this
   * season so far or of all that the forecast rests on.
   */
  readonly swathing: number | undefined;
}

/** Undefined where the crop's seeding is not recorded, there is no weather, or the region has no figures for it. */
export function cropWarmth(crop: FieldCrop, book: Book): CropWarmth | undefined {
  const { field } = crop.record.facts;
  const seeded = seededForFigures(crop, book.seasonStart);
  if (seeded === undefined || field === undefined) return undefined;
  let weather = weatherOfBooks.get(book);
  if (!weather) weatherOfBooks.set(book, (weather = new BookWeather(book)));
  // Without weather, nothing is asked of the field's own file either.
  return weather.isEmpty ? undefined : weather.warmth(book.record("fields", field)?.file, seeded);
}

/** A book's weather stays as it is for as long as the book lives: with other weather it is another book. */
const weatherOfBooks = new WeakMap<Book, BookWeather>();

class BookWeather {
  readonly #book: Book;
  /** By path. */
  readonly #files: readonly RecordFile[];
  readonly #nearest = new Map<string, RecordFile | undefined>();
  readonly #records = new Map<RecordFile, DegreeDayRecord | undefined>();
  readonly #warmth = new Map<RecordFile, Map<number, CropWarmth | undefined>>();

  constructor(book: Book) {
    this.#book = book;
    this.#files = book.files.filter((file) => file.kind === "weather" && weatherDaysOf(file).length > 0);
  }

  get isEmpty(): boolean {
    return this.#files.length === 0;
  }

  /** @param fieldsFile the path of the file that defines the field */
  warmth(fieldsFile: string | undefined, seeded: number): CropWarmth | undefined {
    const folder = fieldsFile === undefined ? "" : folderOf(fieldsFile);
    const file = ensure(this.#nearest, folder, () => nearestStation(folder, this.#files));
    if (!file) return undefined;
    const ofFile = ensure(this.#warmth, file, () => new Map<number, CropWarmth | undefined>());
    // Many fields are seeded on the same day, and one with nothing to say is not to be worked out again.
    if (!ofFile.has(seeded)) ofFile.set(seeded, this.#makeWarmth(file, seeded));
    return ofFile.get(seeded);
  }

  #makeWarmth(file: RecordFile, seeded: number): CropWarmth | undefined {
    const wanted = this.#book.region.growth?.degree_days_to_swath;
    if (!this.#records.has(file)) this.#records.set(file, this.#makeRecord(file));
    const record = this.#records.get(file);
    if (wanted === undefined || !record || record.byDay.size === 0) return undefined;
    const found = forecastDay({ seeded, weather: record }, wanted);
    const forecast = found.ok ? found.value : undefined;
    const soFar = degreeDaySum(record, seeded, Math.max(seeded, Math.min(this.#book.asOf, forecast?.day ?? Infinity)));
    if (!soFar.ok) return undefined;
    const swathing = forecast?.enough && soFar.value.enough ? forecast.day : undefined;
    return { station: file.path, record, seeded, soFar: soFar.value, wanted, forecast, swathing };
  }

  #makeRecord(file: RecordFile): DegreeDayRecord | undefined {
    const { base_c: baseC, method, weather_days_needed_percent: needed } = this.#book.region.growth ?? {};
    if (baseC === undefined || needed === undefined || (method !== 1 && method !== 2)) return undefined;
    const rows = weatherDaysOf(file).map(({ day, minimum, maximum }) => ({ day, tminC: minimum, tmaxC: maximum }));
    const record = degreeDayRecord(rows, this.#book.asOf, { baseC, method, leastShareRecorded: needed / 100 });
    return record.ok ? record.value : undefined;
  }
}

/** The station in a folder or the nearest above it, else the first; `files` in the order of their paths. */
export function nearestStation<F extends { readonly path: string }>(
  folder: string,
  files: readonly F[],
): F | undefined {
  for (let at = folder; ; at = folderOf(at.slice(0, -1))) {
    const found = files.find((file) => folderOf(file.path) === at);
    if (found || at === "") return found ?? files[0];
  }
}

/** `a/b/` of `a/b/c.fields.yaml`, nothing of `c.fields.yaml` */
export function folderOf(path: string): string {
  return path.slice(0, path.lastIndexOf("/") + 1);
}

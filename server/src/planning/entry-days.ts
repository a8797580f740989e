import { MINUTES_PER_DAY } from "../base/days.ts";
import type { Book } from "../book/book.ts";
import { closuresOf, type Closure } from "../book/closures.ts";
import type { FieldHistory } from "../book/field-history.ts";
import { folderOf, nearestStation } from "../book/weather.ts";
import type { RecordFile } from "../records/record-file.ts";
import { weatherDaysOf } from "../records/weather-file.ts";
import type { FieldWork } from "./field-work.ts";
import type { PlanFigures } from "./plan-figures.ts";

/** Why a field may not be entered on a day of the plan, or from when. */
export interface EntryDay {
  /** The first minute at which it may be entered; Infinity where not that day. */
  readonly openFrom: number;
  readonly why: "window" | "wet" | "re-entry" | undefined;
}

/** Rain by day of each weather file, in millimetres, up to the as-of day: what comes after is not known. */
export class RainOfBook {
  readonly #book: Book;
  readonly #files: readonly RecordFile[];
  readonly #rain = new Map<RecordFile, ReadonlyMap<number, number>>();

  constructor(book: Book) {
    this.#book = book;
    this.#files = book.files.filter((file) => weatherDaysOf(file).some(({ rain }) => rain !== undefined));
  }

  get isRecorded(): boolean {
    return this.#files.length > 0;
  }

  /** Rain on a field over days that are known, both ends included. */
  between(field: FieldHistory, from: number, to: number): number {
    const file = nearestStation(folderOf(field.record?.file ?? ""), this.#files);
    if (!file) return 0;
    let days = this.#rain.get(file);
    if (!days) this.#rain.set(file, (days = new Map(weatherDaysOf(file).map(({ day, rain }) => [day, rain ?? 0]))));
    let sum = 0;
    for (let day = from; day <= Math.min(to, this.#book.asOf); day++) sum += days.get(day) ?? 0;
    return sum;
  }
}

/** When a field may be entered on each of so many days: in its window, not while sprayed, not while wet. */
export function entryDays(
  field: FieldHistory,
  work: FieldWork,
  days: readonly number[],
  rain: RainOfBook,
  figures: PlanFigures,
): EntryDay[] {
  const closures = closuresOf(field);
  return days.map((day) => {
    if (day < work.window.opens || day > work.window.closes) return { openFrom: Infinity, why: "window" };
    const fallen = rain.between(field, day - figures.wet_days, day);
    if (fallen >= figures.wet_rain_mm) return { openFrom: Infinity, why: "wet" };
    const morning = day * MINUTES_PER_DAY;
    const open = openFrom(closures, morning);
    if (open >= morning + MINUTES_PER_DAY) return { openFrom: Infinity, why: "re-entry" };
    return { openFrom: open, why: open > morning ? "re-entry" : undefined };
  });
}

/** From a morning on, the first minute after which no interval of a spraying before the end of that day still runs. */
function openFrom(closures: readonly Closure[], morning: number): number {
  let open = morning;
  for (const { spraying, until } of closures)
    if (spraying.left < morning + MINUTES_PER_DAY) open = Math.max(open, until);
  return open;
}

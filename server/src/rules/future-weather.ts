import { formatDay } from "../base/days.ts";
import { plural } from "../base/words.ts";
import type { Book } from "../book/book.ts";
import type { FileProblem, RecordFile } from "../records/record-file.ts";
import { weatherDaysAfter } from "../records/weather-file.ts";

interface FutureDate extends Omit<FileProblem, "code"> {
  readonly code: "structure/future-date";
}

/** Weather has no records that a rule could be asked of; one finding tells of all its days that have not come yet. */
export function futureWeather(file: RecordFile, { options: { today } }: Book): FutureDate[] {
  const after = weatherDaysAfter(file, today);
  if (!after) return [];
  const { count, date, span } = after;
  const days = count === 1 ? `${date} is` : `${date} and ${plural(count - 1, "more day")} are`;
  const message = `${days} after today (${formatDay(today)}), and nothing counts them; weather is kept as it was, so correct the dates or take them out`;
  return [{ code: "structure/future-date", span, message }];
}

import { parseMinute } from "../../base/days.ts";
import { dayInWords } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import type { Figure } from "./figure.ts";

/** A record in a few lines: what it is called, and what can be said of it. All are plain text, not yet Markdown. */
export interface Brief {
  readonly title: string;
  readonly lines: readonly (string | undefined)[];
  /** What stands below the lines, with how it comes about. */
  readonly figure?: Figure | undefined;
}

/** `Long Meadow (long-meadow)`, or the id alone where there is no other name. */
export function titleOf(name: string | undefined, id: string): string {
  return name === undefined || name === id ? id : `${name} (${id})`;
}

/** `Area: 62.4 ha`; undefined without a value. */
export function labelled(label: string, value: string | number | undefined, unit = ""): string | undefined {
  return value === undefined || value === "" ? undefined : `${label}: ${value}${unit && ` ${unit}`}`;
}

/** `14 Aug, 09:40`; a text that is no time as it stands. */
export function timeInWords(text: string | undefined, book: Book): string | undefined {
  const minute = parseMinute(text ?? "");
  if (minute === undefined || text === undefined) return text;
  return `${dayInWords(Math.floor(minute / 1440), book.seasonYear)}, ${text.slice(11)}`;
}

export function crewNames(ids: readonly string[], book: Book): string {
  return ids.map((id) => book.season.crew?.find((member) => member.id === id)?.name ?? id).join(", ");
}
